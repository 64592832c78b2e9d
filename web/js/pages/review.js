// An external reviewer's first page: what they may see, until when, and the cohort's figures when those were chosen.
import { html } from "../lib/html.js";
import { dayWords } from "../lib/days.js";
import { inUnit, measured } from "../lib/numbers.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { Word, word } from "../lib/words.js";
import { Caution } from "../parts/caution.js";
import { Page } from "../parts/page.js";
import { StateSign } from "../parts/signs.js";
import { Show } from "../parts/waiting.js";

export function ReviewPage() {
  const own = useResource(at("/viewing"));
  const given = /** @type {Api.Viewing | undefined} */ (own.data);
  return html`<${Page} title="Your review" lead=${given && (given.ended ? "Nothing is open to you today." : `Open to you until ${dayWords(given.until || "")}, for reading only. The programme's director sees what you read.`)}>
    <${Show} of=${own} what="your invitation">${() => html`${given && (given.ended ? html`<p>Ask the programme's director for a new invitation if you need one.</p>` : html`
      ${given.trainees.length > 0 && html`<section aria-label="Trainees"><h2>Trainees</h2><ul class="rows">${given.trainees.map(one => html`<li key=${one.id} class="row"><span class="row-main">${one.name}</span>
        <a href=${`/trainees/${encodeURIComponent(one.id)}/standing`}>Standing<span class="unseen"> of ${one.name}</span></a>
        <a href=${`/trainees/${encodeURIComponent(one.id)}/growth`}>Growth<span class="unseen"> of ${one.name}</span></a></li>`)}</ul></section>`}
      ${given.figures && html`<${Figures} />`}`)}`}<//>
  <//>`;
}

function Figures() {
  const read = useResource(at("/viewing/figures"));
  return html`<section aria-label="The cohort"><h2>The cohort without names</h2><${Show} of=${read} what="the figures">${(/** @type {Api.CohortFigures} */ all) => html`
    ${all.trainees === undefined ? html`<p>There are fewer than ${all.limit} trainees: no figure is told.</p>` : html`
      <p>${all.trainees} trainees on ${dayWords(all.on)}.</p>
      ${all.headline.map(says => html`<p>${says}</p>`)}
      ${all.rows ? html`<${Rows} all=${all} />` : html`<${Counts} all=${all} />`}`}
    <${Caution} />`}<//></section>`;
}

/** @param {{all: Api.CohortFigures}} props */
const Counts = ({ all }) => html`<p class="small">Counts below ${all.limit}, and others from which they follow, are not told.</p>
      <div class="scroll" tabindex="0" role="region" aria-label="Trainees in each state"><table class="figures"><thead><tr><th scope="col">Requirement</th>${all.requirements[0]?.states?.map(one => html`<th scope="col">${Word(one.state)}</th>`)}</tr></thead>
        <tbody>${all.requirements.map(one => html`<tr key=${one.id}><th scope="row">${Word(one.id)}<small>${one.says}</small></th>
          ${one.states?.map(state => html`<td>${state.count === undefined ? "not told" : state.count}</td>`)}</tr>`)}</tbody></table></div>`;

/** @param {{all: Api.CohortFigures}} props */
const Rows = ({ all }) => html`<p class="small">The numbers are drawn by lot; they say nothing of names or years.</p>
  <div class="scroll" tabindex="0" role="region" aria-label="Each trainee without a name"><table class="figures"><thead><tr><th scope="col">Trainee</th>${all.requirements.map(one => html`<th scope="col">${Word(one.id)}<small>target ${inUnit(one.target, one.unit)}</small></th>`)}</tr></thead>
    <tbody>${(all.rows || []).map(row => html`<tr key=${row.name}><th scope="row">${row.name}</th>${all.requirements.map(one => {
      const line = row.lines.find(each => each.requirement === one.id);
      return html`<td>${line ? html`<span class="status-line"><${StateSign} state=${line.state} />${word(line.state)}</span><small>${measured(line)}</small>` : "-"}</td>`;
    })}</tr>`)}</tbody></table></div>`;
