// A table that scrolls by itself where the window is narrow, the first column heading each row.
import { html } from "../lib/html.js";

/** @param {{label: string, heads: string[], rows: {key: string, cells: unknown[], strong?: boolean}[]}} props strong: a row that heads those below it */
export const FiguresTable = ({ label, heads, rows }) => html`<div class="scroll" tabindex="0" role="region" aria-label=${label}><table class="figures">
  <thead><tr>${heads.map(head => html`<th scope="col">${head}</th>`)}</tr></thead>
  <tbody>${rows.map(row => html`<tr key=${row.key} class=${row.strong ? "strong" : undefined}>${row.cells.map((cell, i) => (i === 0 ? html`<th scope="row">${cell}</th>` : html`<td>${cell}</td>`))}</tr>`)}</tbody>
</table></div>`;
