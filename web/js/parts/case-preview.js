// The computed part of a case while it is entered.
import { html } from "../lib/html.js";
import { ApiProblem } from "../lib/problem.js";
import { Caution } from "./caution.js";
import { ComputedFacts } from "./case-facts.js";

const away = "No connection just now: scope and role are computed when it is back. What you entered stays here.";
const wanting = "Scope, circuits left and your role appear here once the record has what they need.";

/** @param {{preview?: Api.CasePreview, problem: unknown}} props */
export function CasePreviewBox({ preview, problem }) {
  const unfinished = problem instanceof ApiProblem && !problem.offline && problem.status < 500;
  return html`<section class="preview" aria-label="Computed while you enter" aria-live="polite">
    <h2>Computed from what you entered</h2>
    ${preview && !problem ? html`<${ComputedFacts} computed=${preview.computed} /><${Caution} text=${preview.caution} />`
      : html`<p class="small">${problem && !unfinished ? away : wanting}</p>`}
  </section>`;
}
