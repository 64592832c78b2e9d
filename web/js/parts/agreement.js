// How the trainees' accounts of who performed each step agree with the supervisors': shares with n and interval; each number opens to its cases.
import { withQuery } from "../lib/api.js";
import { quarterWords } from "../lib/days.js";
import { html } from "../lib/html.js";
import { counted, percent } from "../lib/numbers.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { ofs } from "../model/agreement.js";
import { Show } from "./waiting.js";

/** Where the cases behind a number are shown. @param {string} trainee empty: of the whole programme @param {Record<string, string | undefined>} query */
export const agreementPath = (trainee, query) => withQuery(trainee ? `/trainees/${encodeURIComponent(trainee)}/agreement` : "/agreement", query);

/** One trainee's, on the standing page. @param {{trainee: string}} props */
export function Agreement({ trainee }) {
  const agreement = useResource(at(`/trainees/${encodeURIComponent(trainee)}/agreement`));
  return html`<section><h2>Two accounts</h2>
    <${Show} of=${agreement} what="the agreement">${(/** @type {Api.Agreement} */ shown) => (shown.cases === 0
      ? html`<p class="state">No signed case yet, so no two accounts to compare.</p>`
      : html`<${Shares} agreement=${shown} trainee=${trainee} />`)}<//></section>`;
}

/** @param {{agreement: Api.AgreementCounts, trainee?: string}} props */
export const Shares = ({ agreement, trainee = "" }) => html`
  <p>Who performed each step, by the trainee and by the supervisor, over ${counted(agreement.cases, "case")} signed until now${trainee ? "" : " of today's trainees"}. It describes; it is no verdict on honesty.</p>
  <dl class="facts">${ofs.map(row => html`<dt>${row.name}</dt><dd><${Opened} share=${agreement[row.id]} unit=${row.unit} to=${agreementPath(trainee, { of: row.id })} name=${row.name} /></dd>`)}</dl>
  ${agreement.periods.length > 1 && html`<h3>Steps told alike, by quarter of the sign-off</h3>
    <dl class="facts">${agreement.periods.map(period => html`<dt>${quarterWords(period.quarter)}</dt><dd><${Opened} share=${period.steps} unit="step"
      to=${agreementPath(trainee, { of: "steps", quarter: period.quarter })} name=${quarterWords(period.quarter)} />, ${counted(period.cases, "case")}</dd>`)}</dl>`}
  <p class="small">In brackets: ${percent(agreement.level)} interval (${agreement.method}). Steps of one case hang together, so it is rather too narrow. Each number opens the cases whose accounts differ.</p>`;

/** A share that opens its cases. @param {{share: Api.AgreementShare, unit: string, to: string, name: string}} props */
const Opened = ({ share, unit, to, name }) => (share.share === null ? "none to count"
  : html`<a href=${to}>${inWords(share, unit)}<span class="unseen">: cases behind “${name}”</span></a>`);

/** @param {Api.AgreementShare} share @param {string} unit */
const inWords = (share, unit) => (share.share === null || share.low === null || share.high === null ? "none to count"
  : `${percent(share.share)} (${Math.round(100 * share.low)} to ${Math.round(100 * share.high)}) of ${counted(share.n, unit)}`);

/** The whole programme's, on the cohort page: together, then each trainee. */
export function CohortAgreement() {
  const agreement = useResource(at("/agreement"));
  return html`<section><h2>Two accounts</h2>
    <${Show} of=${agreement} what="the agreement">${(/** @type {Api.ProgrammeAgreement} */ shown) => (shown.cases === 0
      ? html`<p class="state">No signed case yet, so no two accounts to compare.</p>`
      : html`<${Shares} agreement=${shown} />
        <details class="as-table"><summary>For each trainee</summary><${ByTrainee} of=${shown} /></details>`)}<//></section>`;
}

/** @param {{of: Api.ProgrammeAgreement}} props */
const ByTrainee = ({ of }) => html`<div class="scroll" tabindex="0" role="region" aria-label="Two accounts for each trainee"><table>
  <thead><tr><th scope="col">Trainee</th><th scope="col">Signed cases</th>${ofs.map(row => html`<th scope="col">${row.name}</th>`)}</tr></thead>
  <tbody>${of.trainees.map(row => html`<tr key=${row.trainee.id}><th scope="row">${row.trainee.name}</th><td>${row.cases}</td>
    ${ofs.map(one => html`<td><${Opened} share=${row[one.id]} unit=${one.unit} to=${agreementPath(row.trainee.id, { of: one.id })} name=${`${one.name}, ${row.trainee.name}`} /></td>`)}</tr>`)}</tbody>
</table></div>`;

