// The cohort: a grid of trainees and requirements; on a phone a list for each trainee. Every cell opens its evidence.
import { html } from "../lib/html.js";
import { inUnit, measured } from "../lib/numbers.js";
import { dayWords } from "../lib/days.js";
import { Word, word } from "../lib/words.js";
import { IntervalFigure } from "./interval-figure.js";
import { StateSign } from "./signs.js";
import { evidencePath, StandingList } from "./standing-list.js";

/** @typedef {{cohort: Api.Cohort, trainees: Api.CohortTrainee[]}} Props */

/** @param {Props} props */
export const CohortGrid = ({ cohort, trainees }) => html`<div class="scroll" tabindex="0" role="region" aria-label="Trainees and requirements"><table class="cohort">
  <thead><tr><th scope="col">Trainee</th>${cohort.requirements.map(one => html`<th scope="col">${Word(one.id)}<small>target ${inUnit(one.target, one.unit)}</small></th>`)}</tr></thead>
  <tbody>${trainees.map(one => html`<tr key=${one.id}>
    <th scope="row"><${Name} trainee=${one} on=${cohort.on} /></th>
    ${cohort.requirements.map(({ id }) => html`<td>${cell(one, id, cohort.on)}</td>`)}
  </tr>`)}</tbody>
</table></div>
<dl class="says-list">${cohort.requirements.map(one => html`<dt>${Word(one.id)}</dt><dd>${one.says}</dd>`)}</dl>`;

/** @param {Props} props */
export const CohortList = ({ cohort, trainees }) => html`${trainees.map(one => html`<section class="cohort-one" key=${one.id}>
  <h2><${Name} trainee=${one} on=${cohort.on} /></h2>
  <${StandingList} lines=${one.standing.requirements} trainee=${one.id} on=${cohort.on} brief=${true} />
</section>`)}`;

/** @param {{trainee: Api.CohortTrainee, on: string}} props */
const Name = ({ trainee, on }) => html`<a href=${`/trainees/${trainee.id}/standing?on=${on}`}>${trainee.name}</a>
  <small>${trainee.attention || (trainee.ready ? trainee.overall : `since ${dayWords(trainee.since)}`)}</small>`;

/** @param {Api.CohortTrainee} trainee @param {string} requirement @param {string} on */
function cell(trainee, requirement, on) {
  const line = trainee.standing.requirements.find(one => one.requirement === requirement);
  if (!line) return html`<span class="small">not asked</span>`;
  const few = line.state === "not-enough-data", measure = few ? `${line.n} so far` : measured(line);
  const words = `${trainee.name}, ${word(requirement)}. ${Word(line.state)}: ${measure}`;
  return html`<a class="cell" href=${evidencePath(trainee.id, requirement, on)} aria-label=${words}
    title=${words}><${StateSign} state=${line.state} />${few ? html`<span class="small">${measure}</span>` : html`<${IntervalFigure} line=${line} />`}</a>`;
}
