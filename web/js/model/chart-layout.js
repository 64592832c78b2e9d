// Where the parts of a chart stand for a width: scales, ticks, direct labels. Pure; the description comes from the server (api/chart).

/** @typedef {Api.Chart} Chart @typedef {Api.ChartAxis} Axis @typedef {Api.ChartLayer} Layer @typedef {Api.ChartPoint} Point */
/** @typedef {{left: number, right: number, top: number, bottom: number}} Box */
/** @typedef {{at: number, label: string}} Tick */

/** Under this many pixels the names stand in a key, for beside the lines there is no room. */
export const WIDE = 560;
const LINE = 16; // height of a written line

/** @param {Axis} axis @param {number} value @returns {number} 0 at the axis's beginning, 1 at its end */
export const part = (axis, value) => (value - axis.min) / (axis.max - axis.min);

/** A value of an axis in words. @param {Axis} axis @param {number} value */
export function written(axis, value) {
  if (axis.unit === "share") return `${Number((value * 100).toFixed(1))}\u00a0%`;
  if (axis.unit === "count") return String(Math.round(value));
  if (axis.unit === "months") return String(Number(value.toFixed(1)));
  return String(Number(value.toPrecision(3)));
}

/** Round numbers along an axis, about `wanted` of them: steps of 1, 2 or 5 times a power of ten, whole ones where things are counted, quarters and years of months. @param {Axis} axis @param {number} wanted @returns {Tick[]} */
export function ticks(axis, wanted) {
  const raw = (axis.max - axis.min) / Math.max(1, wanted), power = 10 ** Math.floor(Math.log10(raw));
  let step = /** @type {number} */ ([1, 2, 5, 10].find(m => m * power >= raw * 0.999)) * power;
  if (axis.unit === "months") step = [3, 6, 12, 24, 60].find(months => months >= raw * 0.999) ?? 120;
  if (axis.unit === "count") step = Math.max(1, Math.round(step));
  const found = [];
  for (let i = Math.ceil(axis.min / step - 1e-9); i * step <= axis.max + step * 1e-9; i++) found.push({ at: i * step, label: written(axis, i * step) });
  return found;
}

/** Whether a layer's name is written where it ends: dots on a line are named by the line. @param {Layer} layer @param {number} _ @param {Layer[]} all */
const labelled = (layer, _, all) => (layer.shape === "dots" ? !all.some(other => other.role === layer.role && isLine(other)) : layer.shape === "rule" || isLine(layer));

/** @param {Layer} layer */
const isLine = layer => layer.shape === "line" || layer.shape === "step";

/**
 * The chart for a width in pixels.
 * @param {Chart} chart @param {number} width
 */
export function layOut(chart, width) {
  const wide = width >= WIDE, named = chart.layers.filter(labelled);
  const longest = Math.max(0, ...named.map(layer => layer.name.length)), atRisk = chart.layers.filter(layer => layer.at_risk);
  const plotHeight = Math.round(Math.min(320, Math.max(200, width * 0.5)));
  const yTicks = ticks(chart.y, Math.floor(plotHeight / 44));
  const left = 14 + Math.max(...yTicks.map(tick => tick.label.length), 2) * 8;
  /** @type {Box} */
  const box = { left, right: width - (wide ? Math.min(220, 18 + longest * 7.4) : 14), top: 26, bottom: 26 + plotHeight };
  const x = (/** @type {number} */ value) => box.left + part(chart.x, value) * (box.right - box.left);
  const y = (/** @type {number} */ value) => box.bottom - part(chart.y, value) * (box.bottom - box.top);
  return {
    width, wide, box, x, y, yTicks, xTicks: ticks(chart.x, Math.floor((box.right - box.left) / 76)), 
    // a row of who is still followed has its name beside it, or above it where there is no room
    atRisk: atRisk.map((layer, row) => ({ layer, y: box.bottom + 73 + row * (wide ? LINE : 2 * LINE) + (wide ? 0 : LINE), nameY: box.bottom + 73 + row * (wide ? LINE : 2 * LINE) })),
    height: box.bottom + 44 + (atRisk.length > 0 ? (atRisk.length * (wide ? 1 : 2) + 1) * LINE + 6 : 0),
    labels: wide ? apart(named.map(layer => ({ layer, y: y(/** @type {Point} */ (layer.points.at(-1)).y) })), box) : [],
  };
}

/** Labels pushed apart so that none covers another, in their order from above. @template {{y: number}} T @param {T[]} labels @param {Box} box @returns {T[]} */
export function apart(labels, box) {
  const sorted = labels.map(label => ({ ...label })).sort((a, b) => a.y - b.y);
  for (let i = 1; i < sorted.length; i++) sorted[i].y = Math.max(sorted[i].y, sorted[i - 1].y + LINE);
  for (let i = sorted.length - 1, least = box.bottom; i >= 0; i--, least -= LINE) sorted[i].y = Math.min(sorted[i].y, least);
  return sorted;
}

/** A number of pixels for a path. @param {number} value */
const px = value => String(Number(value.toFixed(1)));

/** The path of a line, step, band or stairs. @param {Layer} layer @param {(v: number) => number} x @param {(v: number) => number} y */
export function pathOf(layer, x, y) {
  const stepped = layer.shape === "step" || layer.shape === "stairs";
  const along = (/** @type {{x: number, y: number}[]} */ places) => places.map((place, i) => {
    if (i === 0) return `${px(x(place.x))} ${px(y(place.y))}`;
    return stepped ? `H${px(x(place.x))}V${px(y(place.y))}` : `L${px(x(place.x))} ${px(y(place.y))}`;
  }).join("");
  if (layer.shape !== "band" && layer.shape !== "stairs") return `M${along(layer.points)}`;
  const edge = (/** @type {"low" | "high"} */ end) => layer.points.map(point => ({ x: point.x, y: /** @type {number} */ (point[end]) }));
  const back = edge("low").reverse();
  if (!stepped) return `M${along(edge("high"))}L${along(back)}Z`;
  // going back along stairs the rise comes first: each edge holds until the next point
  return `M${along(edge("high"))}${back.map((place, i) => (i === 0 ? `L${px(x(place.x))} ${px(y(place.y))}` : `V${px(y(place.y))}H${px(x(place.x))}`)).join("")}Z`;
}
