// The numbers of a chart as a table; each that has evidence behind it leads there.
import { html } from "../lib/html.js";
import { listed } from "../lib/words.js";
import { written } from "../model/chart-layout.js";
import { columnsOf, followedAt, pointWords, rowsOf, rulesOf } from "../model/chart-table.js";

/** @param {{chart: Api.Chart}} props */
export function ChartTable({ chart }) {
  const columns = columnsOf(chart), rules = rulesOf(chart), followed = chart.layers.filter(layer => layer.at_risk);
  return html`<details class="as-table">
    <summary>As a table<span class="unseen">: ${chart.title}</span></summary>
    ${rules.length > 0 && html`<p class="small">${rules.map(layer => `${layer.name}: ${layer.shape === "rule" ? written(chart.y, layer.points[0].y) : written(chart.x, layer.points[0].x)}`).join(". ")}.</p>`}
    ${followed.map(layer => html`<p class="small">${layer.name}, still followed at month ${listed(followedAt(layer))}.</p>`)}
    <div class="scroll" tabindex="0" role="region" aria-label=${`Table: ${chart.title}`}><table>
      <thead><tr><th scope="col">${chart.x.label}</th>${columns.map(layer => html`<th scope="col">${layer.name}</th>`)}</tr></thead>
      <tbody>${rowsOf(chart).map(row => html`<tr><th scope="row">${row.label}</th>${row.cells.map(point => html`<td>${point && html`<${Cell} chart=${chart} point=${point} />`}</td>`)}</tr>`)}</tbody>
    </table></div>
  </details>`;
}

/** @param {{chart: Api.Chart, point: Api.ChartPoint}} props */
function Cell({ chart, point }) {
  const words = pointWords(chart, point), more = point.says && html` <span class="small">${point.says}</span>`;
  return point.link ? html`<a href=${point.link}>${words}</a>${more}` : html`${words}${more}`;
}
