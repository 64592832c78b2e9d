// A grade at its head: letter, score, scope reached and needed, and the parts it is made of.
import { html } from "../lib/html.js";
import { plain } from "../lib/numbers.js";
import { capital, word } from "../lib/words.js";

/** @param {{grade: Api.Grade}} props */
export function GradeHead({ grade }) {
  const minimum = grade.minimum_scope && grade.minimum_scope !== grade.target_scope ? ` Acceptable minimum: ${word(grade.minimum_scope)}.` : "";
  return html`<div class="grade">
    <p class="letter" aria-label=${`Grade ${grade.letter}`}>${grade.letter}</p>
    <div>
      <p class="score">${plain(grade.score, 2)} of 100${grade.unsafe && html` <span class="unsafe">unsafe</span>`}</p>
      <p>Scope reached: ${word(grade.result.scope)}. Needed here: ${word(grade.target_scope)}.${minimum}</p>
      ${grade.cap && html`<p>At most ${grade.cap}: ${grade.cap_reason}</p>`}
      ${grade.floor && html`<p>Held at ${grade.floor}: less is for what is unsafe</p>`}
    </div>
  </div>`;
}

/** @param {{grade: Api.Grade}} props */
export const GradeParts = ({ grade }) => html`<table class="parts">
  <caption>What the score is made of</caption>
  <thead><tr><th scope="col">Part</th><th scope="col">Earned</th><th scope="col">Of</th></tr></thead>
  <tbody>${grade.parts.map(part => html`<tr><th scope="row">${capital(word(part.part))}</th><td>${plain(part.earned, 2)}</td><td>${plain(part.weight, 2)}</td></tr>`)}</tbody>
</table>`;
