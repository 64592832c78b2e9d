// What can be done with a scenario of the library, each with the reason when it cannot; and what was done with it.
import { useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { post } from "../lib/api.js";
import { dayWords, timeWords } from "../lib/days.js";
import { html } from "../lib/html.js";
import { ApiProblem } from "../lib/problem.js";
import { at } from "../lib/session.js";
import { Word } from "../lib/words.js";
import { lines } from "../model/check.js";
import { whyNot } from "../model/edition.js";
import { whole } from "../model/scenario-draft.js";
import { FaultSummary } from "./fault-summary.js";
import { ReasonAct } from "./reason-act.js";
import { Row } from "./row.js";
import { Show, Trouble } from "./waiting.js";

/** @param {{detail: Api.EditionDetail, me: string, onDone: (detail: Api.EditionDetail) => void}} props */
export const EditionActs = ({ detail, me, onDone }) => html`<${LifeActs} head=${detail.head} path=${at(`/library/${encodeURIComponent(detail.head.id)}`)} me=${me} onDone=${onDone}
  inWords=${(/** @type {ApiProblem} */ problem) => lines([...problem.byField("scenario")].map(([field, message]) => ({ field, message })), whole(detail.scenario)).map(line => line.says)} />`;

/** What can be done with a scenario or a question. @param {{head: Api.Life, path: string, me: string, onDone: (detail: any) => void, inWords: (problem: ApiProblem) => string[]}} props */
export function LifeActs({ head, path, me, onDone, inWords }) {
  const [state, setState] = useState(/** @type {{busy: boolean, problem: unknown}} */ ({ busy: false, problem: null }));
  const send = async (/** @type {string} */ act, /** @type {unknown} */ body, /** @type {string} */ done) => {
    setState({ busy: true, problem: null });
    try {
      const after = await post(`${path}/${act}`, body, { revision: head.revision });
      announce(done);
      onDone(after);
    } catch (problem) {
      setState({ busy: false, problem });
    }
  };
  const faults = state.problem instanceof ApiProblem && state.problem.errors.length > 0
    ? inWords(state.problem).map(says => ({ field: "", says })) : [];
  const reviewing = head.status === "in-review", refusal = whyNot(head, "approve", me);
  return html`<section class="acts" aria-label="What to do with it">
    <${FaultSummary} faults=${faults} title="It was refused" />
    ${state.problem && faults.length === 0 && html`<${Trouble} problem=${state.problem} />`}
    <div class="bar">
      ${reviewing && html`<button type="button" disabled=${state.busy || Boolean(refusal)} aria-describedby=${refusal ? "why-not" : undefined}
        onClick=${() => send("approve", undefined, "Approved: it is live.")}>Approve</button>`}
      ${head.status === "draft" && head.may.includes("submit") && html`<button type="button" disabled=${state.busy} onClick=${() => send("submit", undefined, "Submitted for review.")}>Submit for review</button>`}
      ${head.may.includes("revise") && html`<button type="button" disabled=${state.busy} onClick=${() => send("revise", undefined, "A new draft begins with what is here.")}>${head.status === "retired" ? "Revise to bring it back" : "Revise"}</button>`}
      ${reviewing && head.may.includes("return") && html`<${ReasonAct} name=${head.authors.includes(me) ? "Take back" : "Return to the author"} label=${head.authors.includes(me) ? "Why you take it back" : "What to change"}
        confirm=${head.authors.includes(me) ? "Take back" : "Return"} busy=${state.busy} problem=${state.problem} onGiven=${(/** @type {string} */ reason, /** @type {Api.Override[]} */ overrides) => send("return", { reason, overrides }, "Returned.")} />`}
      ${head.may.includes("retire") && html`<${ReasonAct} name="Retire" label="Why it is taken out of use" confirm="Retire" busy=${state.busy}
        problem=${state.problem} onGiven=${(/** @type {string} */ reason, /** @type {Api.Override[]} */ overrides) => send("retire", { reason, overrides }, "Retired.")} />`}
    </div>
    ${reviewing && refusal && html`<p class="hint" id="why-not">${refusal}</p>`}
  </section>`;
}

/** @type {Record<string, string>} */
const acts = { create: "began it", import: "imported it", submit: "submitted it for review", return: "returned it", approve: "approved it: live", retire: "retired it", revise: "began the next version" };

/** @param {{detail: Api.EditionDetail, versions: import("../lib/resource.js").Resource<any>}} props */
export const EditionHistory = ({ detail, versions }) => html`<div class="two edition-history">
  <section aria-labelledby="versions-title"><h2 id="versions-title">Versions that went live</h2>
    <${Show} of=${versions} what="the versions">${(/** @type {{items: Api.EditionVersion[]}} */ { items }) => (items.length === 0 ? html`<p>None yet.</p>` : html`<ul class="rows">${items.map(one => html`<li
      key=${one.version}><${Row} to=${`/library/${encodeURIComponent(detail.head.id)}/versions/${one.version}`} name=${`Version ${one.version}: ${Word(one.status)}`}
      detail=${[one.author_name && `by ${one.author_name}`, one.reviewer_name && `reviewed by ${one.reviewer_name}`, one.reason].filter(Boolean).join(", ")} after=${one.live_from && `since ${dayWords(one.live_from)}`} /></li>`)}</ul>`)}<//>
  </section>
  <${ActsDone} acts=${detail.acts} />
</div>`;

/** What was done to a scenario or a question. @param {{acts: Api.LifeAct[]}} props */
export const ActsDone = ({ acts: done }) => html`<section aria-labelledby="acts-title"><h2 id="acts-title">What happened to it</h2>
  ${done.length === 0 ? html`<p>It came with the program and nobody has changed it here.</p>` : html`<ol class="history">${done.map(act => html`<li><span class="strong">${act.by_name}</span> ${acts[act.kind] || act.kind},
    version ${act.version}<small>${timeWords(act.at)}</small>${act.reason && html`<q>${act.reason}</q>`}</li>`)}</ol>`}
</section>`;
