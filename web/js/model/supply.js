// Whether a rotation plan can supply what a trainee lacks, in words.
import { counted, percent } from "../lib/numbers.js";

/** The lines that need a look first: those that cannot be said or are unlikely, then the rest. @param {Api.Supply[]} lines */
export const scarcest = lines => [...lines].sort((a, b) => weight(a) - weight(b));

const weight = (/** @type {Api.Supply} */ line) => (line.lacks === 0 ? 2 : line.cannot_say ? 0.5 : line.chance);

/** 'Lacks 5: 6.5 (2 to 12) expected from the plan, chance 72 %.' @param {Api.Supply} line */
export function supplyWords(line) {
  if (line.lacks === 0) return "nothing is lacking";
  if (line.cannot_say) return `cannot say: ${line.cannot_say}`;
  return `${line.expected.toFixed(1)} (${line.low} to ${line.high}) expected; chance of ${counted(line.lacks, "more case")} ${chanceWords(line.chance)}`;
}

/** A chance without false exactness. @param {number} chance */
export const chanceWords = chance => (chance < 0.01 ? "below 1\u00a0%" : chance > 0.99 ? "above 99\u00a0%" : percent(chance));

/** In a word, for who reads the list only. @param {Api.Supply} line */
export function supplyVerdict(line) {
  if (line.lacks === 0) return "there";
  if (line.cannot_say) return "cannot say";
  if (line.chance >= 0.8) return "likely";
  return line.chance >= 0.5 ? "may fall short" : "unlikely";
}
