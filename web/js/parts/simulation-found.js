// What a simulation found, and what it was asked.
import { html } from "../lib/html.js";
import { capital, Word } from "../lib/words.js";
import { binding, fine, headlines, middleWords, shareWords } from "../model/simulation.js";
import { ChartFigure } from "./chart.js";

/** @param {{found: Api.SimulationResult, plan: Api.SimulationPlan, charts: Api.Chart[], caution: string}} props */
export function SimulationFound({ found, plan, charts, caution }) {
  const two = found.outcomes.length > 1;
  return html`<section class="simulation" aria-label="What it found">
    ${found.outcomes.map((outcome, i) => html`<${Outcome} key=${i} outcome=${outcome} plan=${plan} name=${two ? `${i === 0 ? "First" : "Second"}: ${outcome.title}, version ${outcome.version}` : "What it found"} />`)}
    ${found.comparison && html`<${Comparison} list=${found.comparison} />`}
    <h2>Ready by operation, for each true ability</h2>
    ${charts.map(chart => html`<${ChartFigure} key=${chart.id} chart=${chart} caution=${caution} />`)}
    <h2>What was assumed</h2>
    <ul>${found.says.map(says => html`<li>${says}</li>`)}</ul>
  </section>`;
}

/** @param {{outcome: Api.SimulatedOutcome, plan: Api.SimulationPlan, name: string}} props */
const Outcome = ({ outcome, plan, name }) => html`<section>
  <h2>${name}</h2>
  ${outcome.example && html`<p class="small">An example standard: its numbers are for the programme to set.</p>`}
  ${headlines(outcome, plan).map(says => html`<p class="overall">${says}</p>`)}
  ${outcome.taken_as_met.length > 0 && html`<p>Taken as met, because they rest on more than operations: ${outcome.taken_as_met.map(id => Word(id)).join(", ")}.</p>`}
  <div class="scroll" tabindex="0" role="region" aria-label=${`By true ability, ${name}`}><table><caption>By true ability. Middle values with the 10th and 90th of a hundred trainees.</caption>
    <thead><tr><th scope="col">Group</th><th scope="col">Ready by ${plan.cases}</th><th scope="col">Ready too early</th><th scope="col">Adequate from</th><th scope="col">Operations until ready</th><th scope="col">Months until ready</th><th scope="col">Waited, in operations</th></tr></thead>
    <tbody>${outcome.groups.map(group => html`<tr key=${group.name}><th scope="row">${capital(group.name)}</th><td>${shareWords(group.declared)}</td><td>${shareWords(group.false_ready)}</td>
      <td>${group.adequate_from || "never"}</td><td>${middleWords(group.cases)}</td><td>${middleWords(group.months, 1)}</td><td>${group.adequate_from ? middleWords(group.waited) : "does not apply"}</td></tr>`)}</tbody></table></div>
  <div class="scroll" tabindex="0" role="region" aria-label=${`Which line holds people back, ${name}`}><table><caption>Which line holds people back</caption>
    <thead><tr><th scope="col">Requirement</th><th scope="col">Met last, of those declared</th><th scope="col">Not met, of those never declared</th></tr></thead>
    <tbody>${binding(outcome).map(line => html`<tr key=${line.requirement}><th scope="row">${Word(line.requirement)}<span class="small">${line.says}</span></th><td>${shareWords(line.last)}</td><td>${shareWords(line.unmet)}</td></tr>`)}</tbody></table></div>
</section>`;

/** @param {{list: Api.SimulatedDiscord[]}} props */
const Comparison = ({ list }) => html`<section>
  <h2>Where the two differ</h2>
  <p>Both judged the same made-up trainees.</p>
  <div class="scroll" tabindex="0" role="region" aria-label="Where the two differ"><table><caption>Declared ready by one of the two only</caption>
    <thead><tr><th scope="col">Group</th><th scope="col">Only by the first</th><th scope="col">Only by the second</th></tr></thead>
    <tbody>${list.map(one => html`<tr key=${one.group}><th scope="row">${capital(one.group)}</th><td>${shareWords(one.only_first)}</td><td>${shareWords(one.only_second)}</td></tr>`)}</tbody></table></div>
</section>`;

/** @param {{plan: Api.SimulationPlan}} props */
export const SimulationPlan = ({ plan }) => html`<details class="simulation-plan"><summary>What was asked</summary>
  <dl class="facts">
    <div><dt>Seed</dt><dd>${plan.seed}</dd></div>
    <div><dt>Made-up trainees</dt><dd>${plan.trainees.toLocaleString("en")}</dd></div>
    <div><dt>Operations each</dt><dd>${plan.cases}</dd></div>
    <div><dt>Adequate</dt><dd>fails in ${fine(plan.adequate)} % or less</dd></div>
    ${plan.mix.groups.map(group => html`<div key=${group.name}><dt>${capital(group.name)}</dt><dd>fails in ${fine(group.curve.start)} % at first, towards ${fine(group.curve.end)} %${group.curve.half_life ? `, half way every ${group.curve.half_life} operations` : ""}; ${group.share} parts of the trainees</dd></div>`)}
  </dl>
  <p class="small">The same plan with the same seed gives the same figures.</p>
</details>`;
