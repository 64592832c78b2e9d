// The computed part of a case while it is entered, and whether it looks like one entered before.
import { html } from "../lib/html.js";
import { ApiProblem } from "../lib/problem.js";
import { word } from "../lib/words.js";
import { Caution } from "./caution.js";
import { ComputedFacts } from "./case-facts.js";
import { RoleWhy } from "./role-why.js";

const away = "No connection just now: scope and role are computed when it is back. What you entered stays here.";
const wanting = "Scope, circuits left and your role appear here once the record has what they need.";

/** @param {{preview?: Api.CasePreview, problem: unknown, atrium: import("../model/atrium.js").Atrium}} props */
export function CasePreviewBox({ preview, problem, atrium }) {
  const unfinished = problem instanceof ApiProblem && !problem.offline && problem.status < 500;
  return html`<section class="preview" aria-label="Computed while you enter" aria-live="polite">
    <h2>Computed from what you entered</h2>
    ${preview && !problem ? html`<${ComputedFacts} computed=${preview.computed} />${preview.role_account && html`<${RoleWhy} account=${preview.role_account} atrium=${atrium} alone=${true} />`}<${Caution} text=${preview.caution} />`
      : html`<p class="small">${problem && !unfinished ? away : wanting}</p>`}
  </section>`;
}

/** A warning, never a refusal: two operations of one kind on one day do happen. @param {{alike?: {case: string, status: string}[]}} props */
export const AlikeNotice = ({ alike = [] }) => html`<div aria-live="polite">${alike.length > 0 && html`<div class="notice">
  <p class="strong">You already have a case with this date, site and operation</p>
  <p>If it is the same operation, go on with that one: ${alike.map((one, i) => html`${i > 0 && ", "}<a href=${`/cases/${one.case}`}>${word(one.status)} case</a>`)}. If it is another one, go on here.</p>
</div>`}</div>`;
