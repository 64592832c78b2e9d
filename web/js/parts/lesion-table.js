// The lesion set as a table: what the map shows, in words.
import { html } from "../lib/html.js";
import { narrow } from "../lib/narrow.js";
import { counted } from "../lib/numbers.js";
import { named } from "../lib/words.js";
import { workOf } from "../model/recognised.js";

/**
 * @param {{atrium: import("../model/atrium.js").Atrium, lesions: Api.Lesion[], appendage?: {state: string, method?: string, result?: string}, steps?: {title: string, of: (step: string) => string}[], result?: Api.Result}} props
 * result: the conduction result of these lesions, where there is one
 */
export function LesionTable({ atrium, lesions, appendage, steps = [], result }) {
  const { energies, block_tests: tests, appendage_states: states, appendage_methods: methods } = atrium.facts;
  const names = atrium.namesOf(lesions);
  let drawn = 0;
  const rows = lesions.map((lesion, index) => ({
    step: lesion.lesion || `drawn-${++drawn}`, name: names[index], work: workOf(atrium, result, lesions, index), energy: named(energies, lesion.energy),
    applications: counted(lesion.applications || 1, "application"), block: lesion.block && lesion.block !== "not-tested" ? `block tested: ${named(tests, lesion.block)}` : "block not tested",
  }));
  if (appendage) {
    const kept = appendage.state === "kept";
    rows.push({ step: "left-appendage", name: "Left appendage", work: "", energy: named(states, appendage.state), applications: kept ? "" : named(methods, appendage.method), block: appendage.result ? named(undefined, appendage.result) : "" });
  }
  if (rows.length === 0) return html`<p class="state">No lesions.</p>`;
  if (narrow.value) return html`<ul class="rows set">${rows.map(row => html`<li class="row"><span class="row-main">${row.name}<small>${[row.work, row.energy, row.applications, row.block].filter(Boolean).join(", ")}</small>
    ${steps.map(step => step.of(row.step) && html`<small>${step.title}: ${step.of(row.step)}</small>`)}</span></li>`)}</ul>`;
  return html`<div class="scroll" tabindex="0" role="region" aria-label="Lesion set"><table class="set">
    <thead><tr><th scope="col">Lesion</th><th scope="col">Energy</th><th scope="col">Applications</th><th scope="col">Block</th>${steps.map(step => html`<th scope="col">${step.title}</th>`)}</tr></thead>
    <tbody>${rows.map(row => html`<tr><th scope="row">${row.name}${row.work && html`<small>${row.work}</small>`}</th><td>${row.energy}</td><td>${row.applications}</td><td>${row.block}</td>${steps.map(step => html`<td>${step.of(row.step)}</td>`)}</tr>`)}</tbody>
  </table></div>`;
}
