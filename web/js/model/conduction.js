// What a conduction result shows on the map and says in words: circuits named A, B, ... in order of length, islands, gaps.
import { word } from "../lib/words.js";

/** @typedef {{tag: string, chamber: Api.Chamber, index: number, circuit: Api.Circuit}} NamedCircuit */

/** @param {Api.Result} result @returns {{chamber: Api.Chamber, outcome: Api.ChamberResult}[]} */
export const outcomes = result => [
  { chamber: "left-atrium", outcome: result.left_atrium },
  { chamber: "right-atrium", outcome: result.right_atrium },
];

/** The circuits of both atria, longest first, each with its letter. @param {Api.Result} result @returns {NamedCircuit[]} */
export function namedCircuits(result) {
  return outcomes(result)
    .flatMap(({ chamber, outcome }) => outcome.circuits.map((circuit, index) => ({ chamber, index, circuit })))
    .sort((a, b) => b.circuit.length_mm - a.circuit.length_mm || (a.chamber < b.chamber ? -1 : 1) || a.index - b.index)
    .map((one, i) => ({ ...one, tag: letter(i) }));
}

/** 0 is A, 25 is Z, 26 is AA. @param {number} index @returns {string} */
export function letter(index) {
  const last = String.fromCharCode(65 + (index % 26));
  return index < 26 ? last : letter(Math.floor(index / 26) - 1) + last;
}

/** The circuits that could hold a wave. @param {NamedCircuit[]} circuits */
export const open = circuits => circuits.filter(one => one.circuit.verdict !== "harmless");

/** The circuits drawn without being asked for: those that can sustain a wave, or where none can those that might; more would hide the map.
 * @param {NamedCircuit[]} circuits */
export function drawnUnasked(circuits) {
  const sustaining = circuits.filter(one => one.circuit.verdict === "can-sustain");
  return sustaining.length > 0 ? sustaining : open(circuits);
}

/** One sentence on a result, for people who do not see the map. @param {Api.Result} result */
export function summary(result) {
  const circuits = namedCircuits(result);
  const sustaining = circuits.filter(one => one.circuit.verdict === "can-sustain").length;
  const possible = circuits.filter(one => one.circuit.verdict === "possible").length;
  const gaps = result.left_atrium.gaps.length + result.right_atrium.gaps.length;
  const parts = [`Scope reached: ${word(result.scope)}`];
  parts.push(sustaining === 0 && possible === 0 ? "no circuit left that could hold a wave" : `${sustaining} ${sustaining === 1 ? "circuit" : "circuits"} can sustain flutter, ${possible} possible`);
  if (gaps > 0) parts.push(`${gaps} open line ${gaps === 1 ? "end" : "ends"}`);
  if (!result.sinus_to_av_node) parts.push("the sinus node no longer reaches the AV node");
  return `${parts.join("; ")}.`;
}
