// A requirement at a glance: value a dot, interval a bar, target an upright. The words beside it say the same.
import { html } from "../lib/html.js";
import { axis } from "../model/standing.js";

/** @param {{line: Api.RequirementStanding, width?: number}} props */
export function IntervalFigure({ line, width = 92 }) {
  const { value, target, low, high } = axis(line);
  const x = (/** @type {number} */ share) => 5 + share * (width - 10);
  return html`<svg class="figure" viewBox=${`0 0 ${width} 18`} width=${width} height="18" aria-hidden="true">
    <line class="axis" x1="0" x2=${width} y1="9" y2="9" />
    ${low !== undefined && high !== undefined && html`<line class="interval" x1=${x(low)} x2=${x(high)} y1="9" y2="9" />`}
    <line class="target" x1=${x(target)} x2=${x(target)} y1="1" y2="17" />
    ${line.state !== "not-enough-data" && html`<circle class="value" cx=${x(value)} cy="9" r="4.2" />`}
  </svg>`;
}
