// Numbers as people read them: with their unit, their interval and their n.

const NBSP = "\u00a0";

/** At most `digits` decimals, no trailing zeros. @param {number} value @param {number} [digits] */
export const plain = (value, digits = 1) => String(Number(value.toFixed(digits)));

/** @param {number} share 0 to 1 */
export const percent = share => `${Math.round(share * 100)}${NBSP}%`;

/** @param {number} value */
export const mm = value => `${Math.round(value)}${NBSP}mm`;

/** @param {number} count @param {string} one @param {string} [many] */
export const counted = (count, one, many = `${one}s`) => `${plain(count)} ${count === 1 ? one : many}`;

/** Points lost, with a true minus sign. @param {number} value */
export const points = value => (value === 0 ? "0" : `\u2212${plain(Math.abs(value), 2)}`);

/** A value in its unit: 7 cases, 73 %. @param {number} value @param {string} unit */
export function inUnit(value, unit) {
  if (unit === "share") return percent(value);
  if (unit === "chart") return `score ${plain(value, 2)}`;
  if (unit === "phi") return `phi ${value.toFixed(2)}`;
  const one = unit.replace(/s$/, "");
  return counted(value, one, unit);
}

/**
 * A requirement's value as people read it: '73 % (52 to 88) of 15', '7 of 12 cases'.
 * @param {{value: number, target: number, unit: string, n: number, interval?: Api.Interval}} line
 */
export function measured({ value, target, unit, n, interval }) {
  if (unit === "chart") return `score ${plain(value, 2)} of ${plain(target, 2)} after ${counted(n, "case")}${interval ? `, ${Math.round(interval.low * 100)} to ${percent(interval.high)} successes` : ""}`;
  if (unit === "phi") return `phi ${interval ? `${value.toFixed(2)} (${interval.low.toFixed(2)} to ${interval.high.toFixed(2)}) from ${counted(n, "case")}` : "not known"}, target ${target.toFixed(2)}`;
  if (unit !== "share") return value > target ? `${inUnit(value, unit)}, target ${plain(target)}` : `${plain(value)} of ${inUnit(target, unit)}`;
  const range = interval ? ` (${Math.round(interval.low * 100)} to ${Math.round(interval.high * 100)})` : "";
  return `${percent(value)}${range} of ${n}, target ${percent(target)}`;
}
