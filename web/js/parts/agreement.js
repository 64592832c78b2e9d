// How a trainee's accounts of who performed each step agree with the supervisors': shares with n and interval, and the cases behind them.
import { html } from "../lib/html.js";
import { counted, percent } from "../lib/numbers.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { Show } from "./waiting.js";

/** @param {{trainee: string}} props */
export function Agreement({ trainee }) {
  const agreement = useResource(at(`/trainees/${encodeURIComponent(trainee)}/agreement`));
  return html`<section><h2>Two accounts</h2>
    <${Show} of=${agreement} what="the agreement">${(/** @type {Api.Agreement} */ shown) => (shown.cases === 0
      ? html`<p class="state">No signed case yet, so no two accounts to compare.</p>`
      : html`<${Shares} agreement=${shown} />`)}<//></section>`;
}

/** @param {{agreement: Api.Agreement}} props */
function Shares({ agreement }) {
  const rows = [
    { name: "Steps told alike", share: agreement.steps, of: "step", behind: "Cases that differ" },
    { name: "Steps in which the trainee claims more", share: agreement.claimed_more, of: "step", behind: "Cases" },
    { name: "Steps in which the trainee claims less", share: agreement.claimed_less, of: "step", behind: "Cases" },
    { name: "Roles that stand after sign-off", share: agreement.roles, of: "case", behind: "Cases that differ" },
  ];
  return html`<p>Who performed each step, by the trainee and by the supervisor, over ${counted(agreement.cases, "signed case")}. It describes; it is no verdict on honesty.</p>
    <dl class="facts">${rows.map(row => html`<dt>${row.name}</dt><dd>${inWords(row.share, row.of)}<${Behind} title=${row.behind} share=${row.share} /></dd>`)}</dl>
    ${agreement.periods.length > 1 && html`<h3>Steps told alike, by quarter of the sign-off</h3>
      <dl class="facts">${agreement.periods.map(period => html`<dt>${period.quarter.replace("-", " ")}</dt><dd>${inWords(period.steps, "step")}, ${counted(period.cases, "case")}</dd>`)}</dl>`}
    <p class="small">In brackets: ${percent(agreement.level)} interval (${agreement.method}). Steps of one case hang together, so it is rather too narrow.</p>`;
}

/** @param {Api.AgreementShare} share @param {string} of */
const inWords = (share, of) => (share.share === null || share.low === null || share.high === null ? "none to count"
  : `${percent(share.share)} (${Math.round(100 * share.low)} to ${Math.round(100 * share.high)}) of ${counted(share.n, of)}`);

/** @param {{title: string, share: Api.AgreementShare}} props */
const Behind = ({ title, share }) => (share.cases || []).length > 0 && html`<details><summary>${title} (${share.cases?.length})</summary>
  <ul>${share.cases?.map((id, i) => html`<li key=${id}><a href=${`/cases/${id}`}>Case ${i + 1} of ${share.cases?.length}</a></li>`)}</ul></details>`;
