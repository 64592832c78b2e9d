// One trainee's turn in a meeting: the standing, who keeps out, the votes, one's own, and the outcome.
import { useState } from "preact/hooks";
import { post } from "../lib/api.js";
import { html } from "../lib/html.js";
import { dayWords } from "../lib/days.js";
import { counted } from "../lib/numbers.js";
import { at } from "../lib/session.js";
import { Word } from "../lib/words.js";
import { needed } from "../model/kept-words.js";
import { worstFirst } from "../model/standing.js";
import { Ladder } from "./choices.js";
import { DecideForm, outcomes } from "./decide-form.js";
import { DecisionRow } from "./decisions.js";
import { FaultSummary } from "./fault-summary.js";
import { LongField } from "./field.js";
import { KeptWords } from "./kept-words.js";
import { ReasonAct } from "./reason-act.js";
import { StandingList } from "./standing-list.js";
import { useAct } from "./use-act.js";
import { useStopped } from "./use-stopped.js";
import { Trouble } from "./waiting.js";

/** @typedef {{meeting: Api.Meeting, turn: Api.Turn, onMeeting: (meeting: Api.Meeting) => void, reload: () => void}} TurnProps */

/** @param {TurnProps} props */
export function MeetingTurn({ meeting, turn, onMeeting, reload }) {
  const path = at(`/meetings/${meeting.id}/trainees/${encodeURIComponent(turn.trainee.id)}`), { standing } = turn;
  return html`
    ${turn.decision && html`<ul class="rows"><li><${DecisionRow} decision=${turn.decision} /></li></ul>`}
    <p class="overall">${standing.overall}</p>
    <p class="small">By ${standing.standard}, version ${standing.standard_version}, as of ${dayWords(standing.on)}.${turn.waiting.submitted > 0 ? ` ${counted(turn.waiting.submitted, "case")} waiting for sign-off.` : ""}
      ${turn.before && html` <a href=${`/decisions/${turn.before.id}`}>The decision that stands: ${Word(turn.before.outcome)}</a>`}</p>
    <${StandingList} lines=${worstFirst(standing.requirements)} trainee=${turn.trainee.id} on=${standing.on} />
    ${turn.conflicts.length > 0 && html`<h3>Conflicts of interest</h3><ul>${turn.conflicts.map(one => html`<li key=${one.member}>${one.name}: ${one.reason}</li>`)}</ul>`}
    <${Votes} meeting=${meeting} turn=${turn} />
    ${turn.may.includes("vote") && html`<${VoteForm} path=${path} turn=${turn} onMeeting=${onMeeting} />`}
    ${turn.may.includes("declare") && html`<${Declare} path=${path} onMeeting=${onMeeting} />`}
    ${turn.may.includes("decide") && html`<${DecideForm} path=${path} turn=${turn} reload=${reload} />`}`;
}

/** @param {{meeting: Api.Meeting, turn: Api.Turn}} props */
function Votes({ meeting, turn }) {
  const free = meeting.members.length - turn.conflicts.filter(one => meeting.members.some(member => member.id === one.member)).length;
  return html`<h3>Votes: ${turn.voted} of ${free}</h3>
    ${turn.votes ? html`<ul>${turn.votes.map(one => html`<li key=${one.member}>${one.name}: ${Word(one.outcome)}${one.remark ? `. ${one.remark}` : ""}</li>`)}</ul>`
      : html`<p class="small">Shown once your own vote is in, or once the outcome is recorded.</p>`}`;
}

/** @param {{path: string, turn: Api.Turn, onMeeting: (meeting: Api.Meeting) => void}} props */
function VoteForm({ path, turn, onMeeting }) {
  const [outcome, setOutcome] = useState(/** @type {string} */ (turn.own_vote?.outcome || "")), [remark, setRemark] = useState(turn.own_vote?.remark || "");
  const [overrides, setOverrides] = useState(/** @type {Api.Override[]} */ ([]));
  const { busy, lines, problem, refusal, act, refuse } = useAct();
  const stopped = useStopped(refusal);
  const vote = (/** @type {Event} */ event) => {
    event.preventDefault();
    if (!outcome) return refuse([{ field: "outcome", says: "Choose what you recommend." }]);
    return act("Your vote is in.", async () => onMeeting(/** @type {Api.Meeting} */ (await post(`${path}/votes`, { outcome, remark: remark.trim() || undefined, overrides: needed(overrides, { remark }) }))));
  };
  return html`<form novalidate onSubmit=${vote} class="narrow">
    <h3>Your recommendation</h3>
    <${FaultSummary} faults=${lines} title="Before you vote" />
    ${problem && html`<${Trouble} problem=${problem} />`}
    <${Ladder} legend="What you recommend" name="outcome" value=${outcome} options=${outcomes} onValue=${setOutcome} />
    <${LongField} label="Remark (optional, for the committee)" name="remark" value=${remark} onValue=${setRemark} />
    <${KeptWords} ...${stopped} field="remark" text=${remark} overrides=${overrides} onText=${setRemark} onOverrides=${setOverrides} />
    <button type="submit" disabled=${busy}>${turn.own_vote ? "Change my vote" : "Vote"}</button>
  </form>`;
}

/** @param {{path: string, onMeeting: (meeting: Api.Meeting) => void}} props */
function Declare({ path, onMeeting }) {
  const { busy, problem, refusal, act } = useAct();
  const declare = (/** @type {string} */ reason, /** @type {Api.Override[]} */ overrides) => act("Declared. You neither vote nor see the votes before the outcome is recorded.",
    async () => onMeeting(/** @type {Api.Meeting} */ (await post(`${path}/conflicts`, { reason, overrides }))));
  return html`<${ReasonAct} name="Declare a conflict of interest" label="The conflict, in a few words (it cannot be taken back)" confirm="Declare" busy=${busy} problem=${refusal} onGiven=${declare} />
    ${problem && html`<${Trouble} problem=${problem} />`}`;
}
