// The small charts of growth: scores over time, an omission made or avoided over time, and a share with its interval.
import { html } from "../lib/html.js";
import { scorePlaces } from "../model/growth.js";

/** First tries are full, later ones open, tests square. @param {{point: Api.GrowthPoint, x: number, y: number}} props */
function Dot({ point, x, y }) {
  const kind = point.attempt > 1 ? "again" : "first";
  if (point.test) return html`<rect class=${`dot ${kind}`} x=${x - 4.5} y=${y - 4.5} width="9" height="9" />`;
  return html`<circle class=${`dot ${kind}`} cx=${x} cy=${y} r="5" />`;
}

/** Scores in order of time; the words and the table beside it say the same. @param {{points: Api.GrowthPoint[]}} props */
export function ScoreChart({ points }) {
  const width = 340, height = 132, box = { left: 44, right: 328, top: 14, bottom: 112 };
  const y = (/** @type {number} */ score) => box.bottom - (score / 100) * (box.bottom - box.top);
  const places = scorePlaces(points, box);
  return html`<svg class="growth-chart" viewBox=${`0 0 ${width} ${height}`} aria-hidden="true">
    ${[0, 50, 100].map(score => html`<line class="axis" x1=${box.left - 8} x2=${box.right + 8} y1=${y(score)} y2=${y(score)} /><text x=${box.left - 14} y=${y(score) + 4.5} class="at-left">${score}</text>`)}
    <path class="course" d=${places.map(({ x, y: up }, i) => `${i === 0 ? "M" : "L"}${x} ${up}`).join("")} />
    ${places.map(place => html`<${Dot} ...${place} />`)}
    <text x=${box.left} y=${height - 2} class="at-start">earliest</text><text x=${box.right} y=${height - 2} class="at-end">latest</text>
  </svg>`;
}

/** An omission over time: a cross where it was made, a ring where it was not. @param {{points: Api.GrowthPoint[]}} props */
export function MadeStrip({ points }) {
  const shown = points.slice(-16), step = 20, width = 340, y = 13;
  return html`<svg class="growth-strip" viewBox=${`0 0 ${width} 26`} aria-hidden="true">
    ${shown.map(({ hit, test, attempt }, i) => {
      const x = 12 + i * step;
      return html`<g class=${attempt > 1 ? "again" : "first"}>
        ${test && html`<rect class="test" x=${x - 8.5} y=${y - 8.5} width="17" height="17" />`}
        ${hit ? html`<path class="made" d=${`M${x - 5} ${y - 5}l10 10M${x + 5} ${y - 5}l-10 10`} />` : html`<circle class="avoided" cx=${x} cy=${y} r="5" />`}
      </g>`;
    })}
  </svg>`;
}

/** A share as a dot and its interval as a bar, 0 to 100 %. @param {{share: Api.GrowthShare}} props */
export function ShareFigure({ share: { share, interval } }) {
  if (!interval) return html`<span></span>`;
  const width = 120, x = (/** @type {number} */ part) => 6 + part * (width - 12);
  return html`<svg class="figure" viewBox=${`0 0 ${width} 18`} width=${width} height="18" aria-hidden="true">
    <line class="axis" x1="0" x2=${width} y1="9" y2="9" />
    <line class="interval" x1=${x(interval.low)} x2=${x(interval.high)} y1="9" y2="9" /><circle class="value" cx=${x(share)} cy="9" r="4.2" />
  </svg>`;
}
