// The plan of a test was saved elsewhere meanwhile: what differs, and the choice.
import { clockWords } from "../lib/days.js";
import { html } from "../lib/html.js";
import { fromSaved } from "../model/plan-draft.js";
import { planDifferences } from "../model/plan-difference.js";

/** @param {{atrium: import("../model/atrium.js").Atrium, mine: Api.Plan, theirs: Api.Sitting, onMine: () => void, onTheirs: () => void}} props */
export function PlanConflict({ atrium, mine, theirs, onMine, onTheirs }) {
  const rows = planDifferences(atrium, mine, fromSaved(theirs.plan));
  return html`<section class="notice" role="alert" aria-label="Two versions of your plan">
    <p class="strong">Your plan was changed elsewhere, ${theirs.saved_at ? `at ${clockWords(theirs.saved_at)}` : "on another device"}. Nothing is saved until you choose.</p>
    ${rows.length === 0 ? html`<p>Both say the same.</p>` : html`<div class="scroll" tabindex="0" role="region" aria-label="What differs"><table>
      <thead><tr><th scope="col">What differs</th><th scope="col">On this page</th><th scope="col">Saved elsewhere</th></tr></thead>
      <tbody>${rows.map(row => html`<tr><th scope="row">${row.what}</th><td>${row.mine}</td><td>${row.theirs}</td></tr>`)}</tbody>
    </table></div>`}
    <div class="bar"><button type="button" onClick=${onMine}>Keep what is on this page</button><button type="button" class="quiet" onClick=${onTheirs}>Take the one saved elsewhere</button></div>
  </section>`;
}
