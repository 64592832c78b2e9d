// Turning off the mail of what waits, from the link in it, without signing in.
import { useState } from "preact/hooks";
import { post } from "../lib/api.js";
import { html } from "../lib/html.js";
import { ApiProblem } from "../lib/problem.js";
import { Page } from "../parts/page.js";
import { useAct } from "../parts/use-act.js";
import { Trouble } from "../parts/waiting.js";

export function UnsubscribePage() {
  const [token] = useState(() => location.hash.slice(1)); // in the fragment, which no server sees
  const [done, setDone] = useState(false), { busy, problem, act } = useAct();
  const stop = () => act("", async () => { await post("/digest/stop", { token }); setDone(true); });
  const unknown = problem instanceof ApiProblem && problem.status === 404;
  return html`<${Page} title="Mail of what waits for you" kind="plain">
    ${done ? html`<p role="status" class="strong">Turned off. You get no more of these mails.</p><p>On your account page you can choose other hours.</p>`
      : !token || unknown ? html`<p>The address is not that of a mail's link. Open it as it stands in the mail, or choose on your account page.</p>`
        : html`${problem && html`<${Trouble} problem=${problem} />`}<p>Nothing else changes: what waits still stands on your first page.</p>
          <button type="button" class="main-act" disabled=${busy} onClick=${stop}>Turn the mail off</button>`}
    <p><a href="/account">Your account</a></p>
  <//>`;
}
