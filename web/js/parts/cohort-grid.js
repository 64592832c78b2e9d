// The cohort: a grid of trainees and requirements; on a phone a list for each trainee. Every cell opens its evidence.
import { useRef, useState } from "preact/hooks";
import { html } from "../lib/html.js";
import { inUnit, measured } from "../lib/numbers.js";
import { dayWords } from "../lib/days.js";
import { Word, word } from "../lib/words.js";
import { moved, trendSign, trendWords } from "../model/cohort.js";
import { IntervalFigure } from "./interval-figure.js";
import { StateSign } from "./signs.js";
import { evidencePath, StandingList } from "./standing-list.js";

/** @typedef {{cohort: Api.Cohort, trainees: Api.CohortTrainee[]}} Props */

/** One stop of the tabulator; arrows, Home and End go from cell to cell, with Control to the corners. @param {Props} props */
export function CohortGrid({ cohort, trainees }) {
  const table = useRef(/** @type {HTMLTableElement | null} */ (null));
  const [here, setHere] = useState({ row: 0, column: 0 });
  const last = { row: trainees.length - 1, column: cohort.requirements.length };
  const at = { row: Math.min(here.row, last.row), column: Math.min(here.column, last.column) };
  const go = (/** @type {KeyboardEvent} */ event) => {
    const next = moved(at, event.key, event.ctrlKey, last);
    if (!next) return;
    event.preventDefault();
    setHere(next);
    const stop = table.current?.querySelector(`[data-at="${next.row}.${next.column}"]`);
    if (stop instanceof HTMLElement) stop.focus();
  };
  const stop = (/** @type {number} */ row, /** @type {number} */ column) => ({ "data-at": `${row}.${column}`, tabindex: at.row === row && at.column === column ? 0 : -1, onFocus: () => setHere({ row, column }) });
  return html`<div class="scroll"><table class="cohort" role="grid" aria-label="Trainees and requirements" ref=${table} onKeyDown=${go}>
    <thead><tr><th scope="col">Trainee</th>${cohort.requirements.map(one => html`<th scope="col">${Word(one.id)}<small>target ${inUnit(one.target, one.unit)}</small></th>`)}</tr></thead>
    <tbody>${trainees.map((one, row) => html`<tr key=${one.id}>
      <th scope="row"><${Name} trainee=${one} on=${cohort.on} stop=${stop(row, 0)} /></th>
      ${cohort.requirements.map(({ id }, column) => html`<td>${cell(one, id, cohort, stop(row, column + 1))}</td>`)}
    </tr>`)}</tbody>
  </table></div>
  <p class="small keys">With the keyboard: arrows go from cell to cell, Enter opens the evidence.</p>
  <dl class="says-list">${cohort.requirements.map(one => html`<dt>${Word(one.id)}</dt><dd>${one.says}</dd>`)}</dl>`;
}

/** @param {Props} props */
export const CohortList = ({ cohort, trainees }) => html`${trainees.map(one => html`<section class="cohort-one" key=${one.id}>
  <h2><${Name} trainee=${one} on=${cohort.on} /></h2>
  <${StandingList} lines=${one.lines} trainee=${one.id} on=${cohort.on} brief=${true} />
</section>`)}`;

/** @param {{trainee: Api.CohortTrainee, on: string, stop?: Record<string, unknown>}} props */
const Name = ({ trainee, on, stop = {} }) => html`<a href=${`/trainees/${trainee.id}/standing?on=${on}`} ...${stop}>${trainee.name}</a>
  <small>${trainee.attention || (trainee.ready ? trainee.overall : `year ${trainee.year}, since ${dayWords(trainee.since)}${trainee.site ? `, ${trainee.site}` : ""}`)}</small>`;

/** @param {Api.CohortTrainee} trainee @param {string} requirement @param {Api.Cohort} cohort @param {Record<string, unknown>} stop */
function cell(trainee, requirement, cohort, stop) {
  const line = trainee.lines.find(one => one.requirement === requirement);
  if (!line) return html`<span class="small cell" ...${stop}>not asked</span>`;
  const few = line.state === "not-enough-data", measure = few ? `${line.n} so far` : measured(line);
  const words = `${trainee.name}, ${word(requirement)}. ${Word(line.state)}: ${measure}. ${trendWords(line, cohort.before)}`;
  return html`<a class="cell" href=${evidencePath(trainee.id, requirement, cohort.on)} aria-label=${words} title=${words} ...${stop}><${StateSign} state=${line.state} />
    ${few ? html`<span class="small">${measure}</span>` : html`<${IntervalFigure} line=${line} />`}<span class="trend" aria-hidden="true">${trendSign(line)}</span></a>`;
}
