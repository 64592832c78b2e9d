// The figures of the outcomes as tables: each row opens its cases.
import { html } from "../lib/html.js";
import { groupName, shareWords } from "../model/outcomes.js";

/** @typedef {(of: string) => string} To the address of the cases behind a figure; empty where none may be named */

/** @param {{label: string, children?: unknown}} props */
const Wide = ({ label, children }) => html`<div class="scroll" tabindex="0" role="region" aria-label=${label}><table class="outcome-table">${children}</table></div>`;

/** A number that opens its cases. @param {{n: unknown, to: string, what: string}} props what: said to who cannot see the table's heads */
const Opens = ({ n, to, what }) => (to && n ? html`<a href=${to}>${n}<span class="unseen"> ${what}</span></a>` : html`${n}`);

const Hidden = (/** @type {{columns: number}} */ { columns }) => html`<td colspan=${columns}>hidden: small number</td>`;

/** @param {{rows: Api.Completeness[], to: To}} props */
export const CompletenessTable = ({ rows, to }) => html`<${Wide} label="Follow-up on record by month">
  <thead><tr><th scope="col">Follow-up</th><th scope="col">Due</th><th scope="col">On record</th><th scope="col">Share (95 % limits)</th><th scope="col">Missing</th></tr></thead>
  <tbody>${rows.map(row => html`<tr key=${row.month}><th scope="row">${row.month === 0 ? "All months" : `Month ${row.month}`}</th>${row.hidden ? html`<${Hidden} columns=${4} />` : html`
    <td><${Opens} n=${row.due} to=${row.month ? to(`due.${row.month}`) : ""} what=${`due at month ${row.month}`} /></td><td>${row.done}</td><td class="share">${row.due > 0 ? shareWords(row) : "-"}</td>
    <td><${Opens} n=${row.due - row.done} to=${row.month ? to(`missing.${row.month}`) : ""} what=${`missing at month ${row.month}`} /></td>`}</tr>`)}</tbody><//>`;

/** Groups of freedom, or of pacemakers. @param {{of: Api.OutcomeFreedom | Api.OutcomePacemakers, month: number, to: To, outside?: boolean}} props */
export function Groups({ of, month, to, outside }) {
  const free = of.groups.some(group => "unknown" in group), pattern = of.by === "pattern";
  const figure = (/** @type {string} */ id, end = "") => to(`${free ? `freedom.${of.by}` : "pacemaker"}.${id}${end}`);
  return html`<${Wide} label=${free ? `Freedom by ${pattern ? "AF pattern" : "scope"}` : "Pacemaker by scope"}>
    <thead><tr><th scope="col">${pattern ? "AF pattern" : "Scope"}</th><th scope="col">${free ? "Free" : "With a pacemaker"} at month ${month} (95 % limits)</th><th scope="col">Followed</th>
      <th scope="col">${free ? "No longer free" : "Pacemaker"}</th><th scope="col">${free ? "Of these on a drug only" : "Died without"}</th>${free && html`<th scope="col">Nothing known</th>`}</tr></thead>
    <tbody>${of.groups.map(group => html`<tr key=${group.id}><th scope="row">${groupName(group.id, of.by)}</th>${group.hidden ? html`<${Hidden} columns=${free ? 5 : 4} />` : html`
      <td class="figure"><${Told} group=${group} month=${month} outside=${outside} /></td>
      <td><${Opens} n=${group.n} to=${figure(group.id)} what=${`${groupName(group.id, of.by)}, followed`} /></td>
      <td><${Opens} n=${group.events} to=${figure(group.id, ".failed")} what=${`${groupName(group.id, of.by)}, ${free ? "no longer free" : "with a pacemaker"}`} /></td>
      <td>${"on_drug" in group ? group.on_drug : group.deaths}</td>
      ${"unknown" in group && html`<td><${Opens} n=${group.unknown} to=${figure(group.id, ".without")} what=${`${groupName(group.id, of.by)}, nothing known`} /></td>`}`}</tr>`)}</tbody><//>`;
}

/** A group's figure at the month, or why there is none. @param {{group: Api.OutcomeGroup, month: number, outside?: boolean}} props */
function Told({ group: { at, refused }, month, outside }) {
  if (!at) return html`${refused || (outside ? "hidden: small number" : `Nobody was followed to month ${month}.`)}`;
  return html`${shareWords(at)}, ${at.at_risk} still followed
    ${at.earliest !== undefined && html`<br /><span class="small">${shareWords({ share: at.earliest })} if each came back right after the visit before</span>`}`;
}

/** Sites or surgeons. @param {{of: Api.OutcomeUnits, to: To}} props */
export const Units = ({ of, to }) => of.rows.length > 0 && html`<${Wide} label=${of.by === "site" ? "By site" : "By supervising surgeon"}>
  <thead><tr><th scope="col">${of.by === "site" ? "Site" : "Surgeon"}</th><th scope="col">Due at month ${of.month}</th><th scope="col">Known</th><th scope="col">Free</th><th scope="col">In the funnel</th>
    <th scope="col">Events observed</th><th scope="col">Expected by AF pattern</th><th scope="col">Difference</th><th scope="col">Ratio (95 % limits)</th></tr></thead>
  <tbody>${of.rows.map(row => html`<tr key=${row.id}><th scope="row">${row.name}</th>${row.hidden ? html`<${Hidden} columns=${8} />` : html`
    <td>${row.due}</td><td><${Opens} n=${row.n} to=${to(`units.${of.by}.${row.id}`)} what=${`${row.name}, known`} /></td>
    <td>${row.n > 0 ? `${row.free} (${Math.round(row.share * 100)}\u00a0%)` : "-"}</td><td>${of.refused ? "not compared" : row.place || "within the 95 % limits"}</td>
    <td>${row.observed}</td><td>${row.n > 0 ? row.expected.toFixed(1) : "-"}</td><td>${row.n > 0 ? signed(row.difference) : "-"}</td>
    <td class="share">${row.n > 0 ? `${row.ratio.toFixed(2)} (${row.low.toFixed(2)} to ${row.high.toFixed(2)})` : "-"}</td>`}</tr>`)}</tbody><//>`;

/** @param {number} x */
const signed = x => (x < 0 ? `\u2212${Math.abs(x).toFixed(1)}` : `+${x.toFixed(1)}`);
