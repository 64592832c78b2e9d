// The decisions of a plan besides its lesions, in words: for the graded plan, its print and comparisons.
import { html } from "../lib/html.js";
import { named } from "../lib/words.js";
import { decisionRows } from "../model/decisions.js";

/** @param {{atrium: import("../model/atrium.js").Atrium, plan: Api.Plan}} props */
export function DecisionWords({ atrium, plan }) {
  const rows = decisionRows(atrium.facts, plan);
  if (rows.length === 0 && !plan.steps?.length) return null;
  return html`<div class="decision-words">
    ${rows.length > 0 && html`<dl class="facts">${rows.map(([what, says]) => html`<dt>${what}</dt><dd>${says}</dd>`)}</dl>`}
    ${plan.steps && plan.steps.length > 0 && html`<h3>Order of the steps</h3><ol class="steps-taken">${plan.steps.map(step => html`<li>${named(atrium.facts.steps, step)}</li>`)}</ol>`}
  </div>`;
}
