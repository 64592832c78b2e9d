// A chart's numbers as a table and as a file: the same data that is drawn.
import { written } from "./chart-layout.js";

/** @typedef {Api.Chart} Chart @typedef {Api.ChartPoint} Point */
/** @typedef {{x: number, label: string, cells: (Point | null)[]}} TableRow */

/** Limits are one number each and stand above the table. @param {Chart} chart */
export const rulesOf = chart => chart.layers.filter(layer => layer.shape === "rule" || layer.shape === "upright");

/** @param {Chart} chart */
export const columnsOf = chart => chart.layers.filter(layer => layer.shape !== "rule" && layer.shape !== "upright");

/** One row for each place along the first axis, one cell for each layer. @param {Chart} chart @returns {TableRow[]} */
export function rowsOf(chart) {
  const columns = columnsOf(chart);
  const places = [...new Set(columns.flatMap(layer => layer.points.map(point => point.x)))].sort((a, b) => a - b);
  const found = columns.map(layer => {
    /** @type {Map<number, Point[]>} */
    const at = new Map();
    for (const point of layer.points) at.set(point.x, [...(at.get(point.x) ?? []), point]);
    return at;
  });
  return places.flatMap(x => {
    const rows = Math.max(...found.map(at => at.get(x)?.length ?? 0)); // steps have two points at one place
    return Array.from({ length: rows }, (_, i) => ({ x, label: written(chart.x, x), cells: found.map(at => at.get(x)?.[i] ?? null) }));
  });
}

/** A point in words: 62 % (45 to 77), n = 21. @param {Chart} chart @param {Point} point */
export function pointWords(chart, point) {
  const range = point.low === undefined || point.high === undefined ? "" : ` (${written(chart.y, point.low)} to ${written(chart.y, point.high)})`;
  return `${written(chart.y, point.y)}${range}${point.n === undefined ? "" : `, n\u00a0=\u00a0${point.n}`}`;
}

/** Who is still followed, at the start and each third month: 0: 22, 3: 20. @param {Api.ChartLayer} layer */
export const followedAt = layer => (layer.at_risk ?? []).flatMap((n, month) => (month % 3 === 0 ? [`${month}: ${n}`] : []));

/** One field of a file, quoted where it must be; what a spreadsheet would take for a formula is marked as text. @param {string | number | undefined} value */
export function field(value) {
  if (value === undefined) return "";
  if (typeof value === "number") return String(value);
  const text = /^[=+\-@\t\r]/.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

/** The chart as CSV (RFC 4180): full precision, one line for each point. @param {Chart} chart @param {string} caution */
export function csvOf(chart, caution) {
  const head = ["layer", chart.x.label, chart.y.label, "low", "high", "n", "remark"];
  const lines = chart.layers.flatMap(layer => layer.points.map(point => [layer.name, point.x, point.y, point.low, point.high, point.n, point.says ?? ""]));
  const followed = chart.layers.flatMap(layer => (layer.at_risk ?? []).map((n, month) => [layer.name, month, undefined, undefined, undefined, n, "still followed"]));
  return [head, ...lines, ...followed, ["caution", undefined, undefined, undefined, undefined, undefined, caution]].map(line => line.map(field).join(",")).join("\r\n") + "\r\n";
}
