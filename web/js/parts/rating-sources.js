// What the trust in a trainee's ratings is computed from: why ratings in the programme differ, and how much of each is left in this trainee's mean.
import { html } from "../lib/html.js";
import { dayWords } from "../lib/days.js";
import { counted, percent, plain } from "../lib/numbers.js";
import { Word } from "../lib/words.js";

/** @param {{of: Api.Dependability}} props */
export const RatingSources = ({ of }) => html`<section><h2>Why ratings differ</h2>
  <p>Estimated from ${counted(of.components.ratings, "rating")} of ${counted(of.components.trainees, "trainee")} by ${counted(of.components.assessors, "assessor")} in the
    programme, signed by ${dayWords(of.components.on)}.</p>
  ${of.sources.length === 0 ? html`<p>Not told: ${of.components.refused}.</p>` : html`
    <div class="scroll" tabindex="0" role="region" aria-label="Why ratings differ"><table>
      <thead><tr><th scope="col">Source</th><th scope="col">Share</th><th scope="col">Variance</th><th scope="col">In this mean</th></tr></thead>
      <tbody>${of.sources.map(source => html`<tr key=${source.name}><th scope="row">${Word(source.name)}<small>${source.says}</small></th><td>${percent(source.share)}</td>
        <td>${number(source.variance)}</td><td>${number(source.variance / (source.over || 1))}</td></tr>`)}</tbody>
    </table></div>
    <p>Phi is what trainees contribute over everything in the mean. This mean is over ${counted(of.cases, "case")}; ${counted(of.assessors, "assessor")} rated them, as good
      as ${plain(of.shared)} who share them evenly. The variance between trainees lies between ${number(of.components.trainee_low)} and ${number(of.components.trainee_high)}.</p>`}
  <p class="small">In squared levels. ${Word(of.method)}. It takes for granted: ${of.assumptions}.</p></section>`;

/** @param {number} variance */
const number = variance => variance.toFixed(2);
