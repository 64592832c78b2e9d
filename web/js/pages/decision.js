// A decision's record: outcome, reasons, the standing it rests on, the signature; the trainee's answer.
import { useState } from "preact/hooks";
import { post } from "../lib/api.js";
import { html } from "../lib/html.js";
import { dayWords, timeWords } from "../lib/days.js";
import { counted } from "../lib/numbers.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { listed, Word, word } from "../lib/words.js";
import { needed } from "../model/kept-words.js";
import { worstFirst } from "../model/standing.js";
import { Caution } from "../parts/caution.js";
import { LongField } from "../parts/field.js";
import { KeptWords } from "../parts/kept-words.js";
import { Page } from "../parts/page.js";
import { Hash } from "../parts/signature.js";
import { StandingList } from "../parts/standing-list.js";
import { useAct } from "../parts/use-act.js";
import { useStopped } from "../parts/use-stopped.js";
import { Show, Trouble } from "../parts/waiting.js";

/** @param {{params: Record<string, string>}} props */
export function DecisionPage({ params }) {
  const decision = useResource(at(`/decisions/${encodeURIComponent(params.decision)}`));
  const read = /** @type {Api.Decision | undefined} */ (decision.data);
  return html`<${Page} title=${read ? `${read.trainee_name}: ${word(read.outcome)}` : "Decision"} lead=${read && `Meeting of ${dayWords(read.held_on)}`}>
    <${Show} of=${decision} what="the decision">${(/** @type {Api.Decision} */ shown) => html`<${Record} decision=${shown} />
      ${shown.may.includes("respond") && html`<${Answer} decision=${shown} onDecision=${decision.set} />`}`}<//>
  <//>`;
}

/** @param {{decision: Api.Decision}} props */
const Record = ({ decision: one }) => html`
  <${Caution} text=${one.caution} />
  ${one.superseded_by && html`<p class="notice">A later decision took the place of this one. <a href=${`/decisions/${one.superseded_by}`}>Read it</a></p>`}
  <dl class="facts">
    <dt>Outcome</dt><dd>${Word(one.outcome)}</dd>
    ${one.conditions && html`<dt>Conditions</dt><dd>${one.conditions}</dd>`}
    <dt>Reasons</dt><dd class="long">${one.reasons}</dd>
    <dt>Not met when it was decided</dt><dd>${listed(one.not_met.map(id => word(id))) || "nothing: every requirement was met"}</dd>
    <dt>Committee</dt><dd>${one.tally.length > 0 ? listed(one.tally.map(({ outcome, votes }) => `${counted(votes, "vote")} for ${word(outcome)}`)) : "no votes"}</dd>
    ${one.named_votes?.map(vote => html`<dt>${vote.name}</dt><dd>${Word(vote.outcome)}${vote.remark ? `. ${vote.remark}` : ""}</dd>`)}
    ${one.named_conflicts?.map(conflict => html`<dt>${conflict.name}</dt><dd>kept out, conflict of interest: ${conflict.reason}</dd>`)}
    ${one.follows && html`<dt>Takes the place of</dt><dd><a href=${`/decisions/${one.follows}`}>the decision before</a></dd>`}
    ${one.response && html`<dt>The trainee's answer</dt><dd class="long">${one.response.text} <span class="small">${timeWords(one.response.responded_at)}</span></dd>`}
  </dl>
  <h2>Signature</h2>
  <dl class="facts signature">
    <dt>Signed by</dt><dd>${one.signer_name}</dd>
    <dt>Time</dt><dd><time datetime=${one.signed_at}>${timeWords(one.signed_at)}</time></dd>
    <dt>Meaning</dt><dd>“${one.meaning}”</dd>
    <dt>Identity proved</dt><dd><time datetime=${one.proved_at}>${timeWords(one.proved_at)}</time></dd>
    <dt>Content, SHA-256</dt><dd><${Hash} hash=${one.content_hash} /></dd>
  </dl>
  <h2>The standing it rests on</h2>
  <p class="overall">${one.standing.overall}</p>
  <p class="small">By ${one.standing.standard}, version ${one.standing.standard_version}, as of ${dayWords(one.standing.on)}; frozen with the evidence.</p>
  <${StandingList} lines=${worstFirst(one.standing.requirements)} trainee=${one.trainee} on=${one.standing.on} />
  <p><a href=${`/trainees/${encodeURIComponent(one.trainee)}/standing`}>The standing today</a></p>`;

/** @param {{decision: Api.Decision, onDecision: (decision: Api.Decision) => void}} props */
function Answer({ decision, onDecision }) {
  const [text, setText] = useState(""), [overrides, setOverrides] = useState(/** @type {Api.Override[]} */ ([]));
  const { busy, problem, refusal, act, refuse, fault } = useAct();
  const stopped = useStopped(refusal);
  const answer = (/** @type {Event} */ event) => {
    event.preventDefault();
    if (!text.trim()) return refuse([{ field: "text", says: "Write your answer first." }]);
    return act("Your answer is on record.", async () => onDecision(/** @type {Api.Decision} */ (await post(at(`/decisions/${decision.id}/response`), { text: text.trim(), overrides: needed(overrides, { text }) }))));
  };
  return html`<form novalidate onSubmit=${answer} class="narrow"><h2>Your answer</h2>
    <p class="small">It stands beside the decision for whoever reads it. It is given once and does not change the outcome.</p>
    ${problem && html`<${Trouble} problem=${problem} />`}
    <${LongField} label="What you want on record" name="text" value=${text} maxlength=${4000} fault=${fault("text")} onValue=${setText} />
    <${KeptWords} ...${stopped} field="text" text=${text} overrides=${overrides} onText=${setText} onOverrides=${setOverrides} />
    <button type="submit" disabled=${busy}>Put it on record</button>
  </form>`;
}
