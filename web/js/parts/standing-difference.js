// What changed in a standing between two days: each figure opens its evidence on its day, and what came and went says why.
import { html } from "../lib/html.js";
import { withQuery } from "../lib/api.js";
import { dayWords, today } from "../lib/days.js";
import { counted, measured } from "../lib/numbers.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { Word, word } from "../lib/words.js";
import { byReason } from "../model/outlook.js";
import { EvidenceRow, useEvidenceNames } from "./evidence-row.js";
import { TextField } from "./field.js";
import { StateSign } from "./signs.js";
import { evidencePath } from "./standing-list.js";
import { Show } from "./waiting.js";

/** @param {{trainee: string, since: string, on: string, onSince: (day: string) => void}} props on: the later day; empty is today */
export function StandingDifference({ trainee, since, on, onSince }) {
  const difference = useResource(at(withQuery(`/trainees/${encodeURIComponent(trainee)}/standing-difference`, { from: since, to: on })));
  return html`<section aria-labelledby="change-title">
    <h2 id="change-title">What changed</h2>
    <${TextField} label="Since" type="date" max=${on || today()} value=${since} onValue=${onSince} />
    <${Show} of=${difference} what="what changed">${(/** @type {Api.StandingDifference} */ read) => html`<${Changes} of=${read} trainee=${trainee} />`}<//>
  </section>`;
}

/** @param {{of: Api.StandingDifference, trainee: string}} props */
function Changes({ of: { before, after, requirements, same, hindsight }, trainee }) {
  const moved = requirements.flatMap(one => [...one.came, ...one.went]);
  const names = useEvidenceNames(trainee, new Set(moved.map(one => one.kind)));
  const other = before.standard !== after.standard || before.standard_version !== after.standard_version;
  return html`
    <p>From ${dayWords(before.on)} to ${dayWords(after.on)}: ${requirements.length === 0 ? "nothing changed." : `${counted(requirements.length, "requirement")} changed, ${same} did not.`}
      ${other && ` Another standard judges: ${before.standard} version ${before.standard_version}, then ${after.standard} version ${after.standard_version}.`}</p>
    ${requirements.map(one => html`<div key=${one.requirement} class="change">
      <h3>${Word(one.requirement)}: ${stateWords(one)}</h3>
      <dl class="change-figures">
        ${one.before && html`<${Figure} of=${one} figures=${one.before} on=${before.on} trainee=${trainee} />`}
        ${one.after && html`<${Figure} of=${one} figures=${one.after} on=${after.on} trainee=${trainee} />`}
      </dl>
      <${MovedList} title="Came in" why="left out before" of=${one.came} names=${names} />
      <${MovedList} title="Went out" why="left out now" of=${one.went} names=${names} />
    </div>`)}
    ${hindsight.map(note => html`<p key=${note} class="small">${note}</p>`)}`;
}

/** @param {Api.RequirementDifference} one */
function stateWords({ before, after }) {
  if (!before) return "new";
  if (!after) return "no longer asked for";
  return before.state === after.state ? `still ${word(after.state)}` : `${word(before.state)}, then ${word(after.state)}`;
}

/** @param {{of: Api.RequirementDifference, figures: Api.Figures, on: string, trainee: string}} props */
const Figure = ({ of, figures, on, trainee }) => html`<div><dt>${dayWords(on)}</dt>
  <dd><${StateSign} state=${figures.state} /> <a href=${evidencePath(trainee, of.requirement, on)}>${figures.n === 0 && figures.state === "not-enough-data" ? "nothing yet" : measured(figures)}</a></dd></div>`;

/** @param {{title: string, why: string, of: Api.Moved[], names: Map<string, {what: string, when: string}>}} props */
const MovedList = ({ title, why, of, names }) => html`${byReason(of).map(({ reason, items }) => html`<details key=${reason}>
  <summary>${title}: ${counted(items.length, items[0].kind)}, ${why}: ${reason}</summary>
  <ul class="rows">${items.map(({ id, kind }) => html`<li key=${id}><${EvidenceRow} id=${id} kind=${kind} name=${names.get(id)} /></li>`)}</ul>
</details>`)}`;
