// An invitation's link: what it is to, and accepting it, with a new account or the one there is.
import { useEffect, useState } from "preact/hooks";
import { post } from "../lib/api.js";
import { html } from "../lib/html.js";
import { dayWords } from "../lib/days.js";
import { navigate } from "../lib/navigate.js";
import { ApiProblem, inWords } from "../lib/problem.js";
import { loadSession, session, signIn, workIn } from "../lib/session.js";
import { capital, listed } from "../lib/words.js";
import { termWords } from "../model/terms.js";
import { FaultSummary } from "../parts/fault-summary.js";
import { TextField } from "../parts/field.js";
import { Leaving } from "../parts/leaving.js";
import { Page } from "../parts/page.js";
import { useAct } from "../parts/use-act.js";
import { Loading, Trouble } from "../parts/waiting.js";

export function InvitationPage() {
  const [token] = useState(() => location.hash.slice(1)); // in the fragment, which no server sees
  const [state, setState] = useState(/** @type {{invited?: Api.Invited, problem?: unknown}} */ ({}));
  const look = () => { /** @type {Promise<Api.Invited>} */ (post("/invitation", { token })).then(invited => setState({ invited }), problem => setState({ problem })); };
  useEffect(look, []);
  const { invited, problem } = state;
  return html`<${Page} title="Invitation" kind="plain" lead=${invited && `To ${invited.programme_name}, as ${listed(invited.roles.map(termWords))}.`}>
    ${!token ? html`<p>The address is not whole: open the link as it was given to you.</p>`
      : problem ? html`<${Over} problem=${problem} again=${look} />`
        : invited ? html`<${Accept} invited=${invited} token=${token} />` : html`<${Loading} what="the invitation" />`}
  <//>`;
}

/** @param {{problem: unknown, again: () => void}} props */
function Over({ problem, again }) {
  if (!(problem instanceof ApiProblem) || problem.status !== 410) return html`<${Trouble} problem=${problem} again=${again} />`;
  return html`<p class="strong">This link is not good, or not any more.</p><p>A link works once, until its last day. Ask whoever invited you for a new one.</p><p><a href="/">To Isthmus</a></p>`;
}

/** @param {{invited: Api.Invited, token: string}} props */
function Accept({ invited, token }) {
  const [name, setName] = useState(invited.name), [password, setPassword] = useState("");
  const { busy, lines, problem, act, refuse, fault } = useAct();
  const here = session.value?.person, other = here && here.email !== invited.email;
  const accept = async (/** @type {Event} */ event) => {
    event.preventDefault();
    if (refuse([!here && !invited.has_account && !name.trim() && { field: "name", says: "Give your name: it stands under what you sign." }, !here && !password && { field: "password", says: "Give a password." }])) return;
    const error = await act("", async () => {
      if (!here && invited.has_account) await signIn(invited.email, password);
      const accepted = /** @type {{programme: string}} */ (await post("/invitation/acceptance", here || invited.has_account ? { token } : { token, name: name.trim(), password }));
      if (!here && !invited.has_account) await signIn(invited.email, password);
      await loadSession();
      workIn(accepted.programme);
      navigate("/", { replace: true });
    });
    if (error instanceof ApiProblem && error.status === 401) refuse([{ field: "password", says: "That is not the password of this account." }]);
  };
  if (other) return html`<p>This invitation is for ${invited.email}; you are signed in as ${here.name}, ${here.email}. Sign out, then open the link again.</p><${Leaving} />`;
  return html`<form class="narrow-form" novalidate onSubmit=${accept}>
    <${FaultSummary} faults=${lines} title="Before you accept" />
    ${problem && html`<p class="fault-summary" role="alert">${inWords(problem).title}. ${inWords(problem).next}</p>`}
    <p>${here ? `You accept as ${here.name}, ${here.email}.` : invited.has_account ? `There is an account for ${invited.email}. Accept with its password.` : `You sign in as ${invited.email} from then on.`}</p>
    ${!here && !invited.has_account && html`<${TextField} label="Your name" name="name" autocomplete="name" maxlength=${120} value=${name} fault=${fault("name")} onValue=${setName} />`}
    ${!here && html`<${TextField} label=${invited.has_account ? "Password" : "A new password, 15 characters or more"} name="password" type="password"
      autocomplete=${invited.has_account ? "current-password" : "new-password"} value=${password} fault=${fault("password")} onValue=${setPassword} />`}
    <button type="submit" class="main-act" disabled=${busy}>Accept</button>
    <p class="small">${capital(`good until ${dayWords(invited.expires_at.slice(0, 10))}`)}. Everything you sign in the programme stands under your own name.</p>
  </form>`;
}
