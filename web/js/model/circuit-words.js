// A circuit's length, the wavelength it is held against and the verdict, in one breath.
import { mm, plain } from "../lib/numbers.js";
import { listed, word } from "../lib/words.js";

/** Circuits shorter than this hold no wave: the shortest wavelength at which atrial fibrillation could be induced in animals (Rensma 1988, 10.1161/01.res.62.2.395), in mm. */
const shortestWave = 78;

/** @param {Api.Circuit} circuit @param {number} wavelength in mm */
export function verdictWords({ verdict, length_mm }, wavelength) {
  if (verdict === "harmless") return `harmless: ${mm(length_mm)} is too short to hold a wave, which needs ${shortestWave}\u00a0mm at least`;
  if (verdict === "possible") return `possible in a remodelled atrium: ${mm(length_mm)}, shorter than the wavelength of ${mm(wavelength)} used, but over ${shortestWave}\u00a0mm`;
  return `can sustain flutter: ${mm(length_mm)}, not shorter than the wavelength of ${mm(wavelength)} used`;
}

/** @param {Api.Gap} gap @param {string} lesion its name */
export function gapWords({ width_mm, nearest, leaves_open = [] }, lesion) {
  const open = leaves_open.length > 0 ? ` It leaves open: ${listed(leaves_open)}.` : "";
  return { what: `${lesion} ends ${plain(width_mm)}\u00a0mm short of ${the(nearest)}`, open: open.trim() };
}

/** @param {string} nearest an obstacle's id, or a lesion's */
const the = nearest => `the ${word(nearest)}`;

/** The nearest lesion to each structure, nearest first. @param {Api.Hazard[]} hazards @returns {Api.Hazard[]} */
export function nearest(hazards) {
  /** @type {Map<string, Api.Hazard>} */
  const by = new Map();
  for (const one of hazards) if (one.distance_mm < (by.get(one.structure)?.distance_mm ?? Infinity)) by.set(one.structure, one);
  return [...by.values()].sort((a, b) => a.distance_mm - b.distance_mm);
}

/** What lines cost against the least that fuses as much, in words. @param {Api.Result["economy"]} economy */
export function economyWords({ total_mm, shortest_mm, ratio }) {
  if (total_mm === 0) return "No lines.";
  const all = `The lines run over ${mm(total_mm)} of tissue.`;
  if (ratio === null) return `${all} They fuse nothing, so there is no shortest network to compare them with.`;
  return `${all} The shortest network that fuses the same openings has ${mm(shortest_mm)}: the plan has ${plain(ratio)} times as much. Isolating rings do more than fuse: compare only plans of one scope.`;
}
