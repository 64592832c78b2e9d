// A programme's own test in words, and what its editor sends.
import { counted, plain } from "../lib/numbers.js";

/** What is given to a test that begins. @param {string} title @returns {Api.TestPlan} */
export const emptyTest = title => ({ title, minutes: 20, rows: [] });

/** A passing mark with where it comes from. @param {Api.Cut} cut */
export function cutWords(cut) {
  const mark = `Passing mark ${plain(cut.percent, 1)} %`;
  if (cut.from === "example") return `${mark}: an example, no panel has set it.`;
  const error = cut.from === "hofstee" ? "" : cut.se === undefined ? "; no standard error can be said of one judge" : `, standard error ${plain(cut.se, 1)} points`;
  const who = `set by a panel of ${cut.judges || 0} (${cut.from === "angoff" ? "modified Angoff" : "Hofstee"})`;
  return `${mark}, ${who}${error}${cut.drawn ? "; it is the mean of what they said of the questions drawn" : ""}.`;
}

/** @param {{items: number, minutes: number, fixed: boolean, negative?: boolean}} test */
export const testFacts = test => `${counted(test.items, "question")}, ${counted(test.minutes, "minute")}, ${test.fixed ? "a fixed form" : "drawn by topic"}${test.negative ? ", wrong answers cost points" : ""}`;

/** A list with one of its parts moved. @template T @param {T[]} list @param {number} at @param {number} by @returns {T[]} */
export function shifted(list, at, by) {
  const next = [...list], to = at + by;
  if (to < 0 || to >= list.length) return list;
  [next[at], next[to]] = [next[to], next[at]];
  return next;
}
