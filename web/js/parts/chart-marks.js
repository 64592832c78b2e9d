// The parts of a chart's picture: axes, layers by role, and the marks that can be chosen.
import { html } from "../lib/html.js";
import { pathOf } from "../model/chart-layout.js";

/** @typedef {ReturnType<typeof import("../model/chart-layout.js").layOut>} Layout */

/** @param {{chart: Api.Chart, at: Layout}} props */
export const Axes = ({ chart, at }) => html`<g class="axes">
  ${at.yTicks.map(tick => html`<line class="grid" x1=${at.box.left} x2=${at.box.right} y1=${at.y(tick.at)} y2=${at.y(tick.at)} /><text class="to-left" x=${at.box.left - 8} y=${at.y(tick.at) + 4.5}>${tick.label}</text>`)}
  ${at.xTicks.map(tick => html`<line class="tick" x1=${at.x(tick.at)} x2=${at.x(tick.at)} y1=${at.box.bottom} y2=${at.box.bottom + 5} /><text class="below" x=${at.x(tick.at)} y=${at.box.bottom + 20}>${tick.label}</text>`)}
  <line class="base" x1=${at.box.left} x2=${at.box.right} y1=${at.box.bottom} y2=${at.box.bottom} />
  <text class="axis-name" x=${at.box.left} y="14">${chart.y.label}</text>
  <text class="axis-name to-left" x=${at.box.right} y=${at.box.bottom + 38}>${chart.x.label}</text>
  ${at.atRisk.length > 0 && html`<text class="axis-name" x=${at.box.left} y=${at.box.bottom + 56}>Still followed</text>`}
  ${at.atRisk.map(({ layer, y, nameY }) => html`<g class=${`role-${layer.role}`}><text x=${at.wide ? at.box.right + 22 : at.box.left} y=${nameY}>${layer.name}</text>
    ${at.xTicks.map(tick => layer.at_risk?.[tick.at] !== undefined && html`<text class="below" x=${at.x(tick.at)} y=${y}>${layer.at_risk[tick.at]}</text>`)}</g>`)}
</g>`;

/** What lies behind the marks. @param {{layer: Api.ChartLayer, at: Layout}} props */
export function Drawn({ layer, at }) {
  const { x, y, box } = at, first = layer.points[0], look = `layer shape-${layer.shape} role-${layer.role}`;
  switch (layer.shape) {
    case "rule": return html`<line class=${look} x1=${box.left} x2=${box.right} y1=${y(first.y)} y2=${y(first.y)} />`;
    case "upright": return html`<g class=${look}><line x1=${x(first.x)} x2=${x(first.x)} y1=${box.top} y2=${box.bottom} /><text x=${x(first.x) + 5} y=${box.top + 12}>${layer.name}</text></g>`;
    case "dots": return html`<g class=${look}>${layer.points.map(point => point.low !== undefined && point.high !== undefined && html`<line class="range" x1=${x(point.x)} x2=${x(point.x)} y1=${y(point.low)} y2=${y(point.high)} />`)}</g>`;
    default: return html`<path class=${look} d=${pathOf(layer, x, y)} />`;
  }
}

/** A dot's sign: its shape says what its colour says. @param {{mark?: string, x: number, y: number}} props */
export function Mark({ mark, x, y }) {
  return html`${mark?.endsWith("signal") && html`<rect class="ring" x=${x - 7.5} y=${y - 7.5} width="15" height="15" />`}
    ${mark?.startsWith("bad") ? html`<path class="miss" d=${`M${x - 4.5} ${y - 4.5}l9 9M${x + 4.5} ${y - 4.5}l-9 9`} />` : html`<circle class="dot" cx=${x} cy=${y} r="4" />`}`;
}

/** The names written where their lines end. @param {{at: Layout}} props */
export const Labels = ({ at }) => html`<g>${at.labels.map(({ layer, y }) => html`<text class=${`label role-${layer.role}`} x=${at.box.right + 10} y=${y + 4.5}>${layer.name}</text>`)}</g>`;

/** What each stroke means, where there is no room beside the lines or a layer has no end to write at. @param {{layers: Api.ChartLayer[]}} props */
export const Key = ({ layers }) => html`<ul class="chart-key">${layers.map(layer => html`<li><svg class="chart" viewBox="0 0 30 16" width="30" height="16" aria-hidden="true">${layer.shape === "band" || layer.shape === "stairs"
  ? html`<path class=${`layer shape-band role-${layer.role}`} d="M1 3H29V13H1Z" />`
  : layer.shape === "dots" ? html`<g class=${`role-${layer.role}`}><line class="range" x1="15" x2="15" y1="1" y2="15" /><circle class="dot" cx="15" cy="8" r="4" /></g>`
    : html`<path class=${`layer shape-line role-${layer.role}`} d="M1 8H29" />`}</svg>${layer.name}</li>`)}</ul>`;
