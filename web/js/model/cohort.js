// The cohort's grid: where the keys lead, and how a line moved.
import { dayWords } from "../lib/days.js";
import { word } from "../lib/words.js";

/** @typedef {{row: number, column: number}} Place */

/**
 * Where a key leads from a cell; null for a key that leads nowhere.
 * @param {Place} from @param {string} key @param {boolean} whole with Control: to the corner @param {Place} last the last row and column
 * @returns {Place | null}
 */
export function moved({ row, column }, key, whole, last) {
  switch (key) {
    case "ArrowUp": return { row: Math.max(0, row - 1), column };
    case "ArrowDown": return { row: Math.min(last.row, row + 1), column };
    case "ArrowLeft": return { row, column: Math.max(0, column - 1) };
    case "ArrowRight": return { row, column: Math.min(last.column, column + 1) };
    case "Home": return { row: whole ? 0 : row, column: 0 };
    case "End": return { row: whole ? last.row : row, column: last.column };
    default: return null;
  }
}

/** @param {{trend: string}} line */
export const trendSign = ({ trend }) => (trend === "rising" ? "\u2191" : trend === "falling" ? "\u2193" : "");

/** 'Rising: on course on 1 Mar 2026.' @param {{trend: string, was: string, state: string}} line @param {string} before */
export function trendWords({ trend, was, state }, before) {
  if (trend === "level") return `As on ${dayWords(before)}.`;
  const which = trend === "rising" ? "Rising" : "Falling";
  return was === state ? `${which} since ${dayWords(before)}.` : `${which}: ${word(was)} on ${dayWords(before)}.`;
}
