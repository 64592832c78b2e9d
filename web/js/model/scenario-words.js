// The values of a scenario in words, for comparing two versions of it.
import { counted, plain } from "../lib/numbers.js";
import { listed, named, word } from "../lib/words.js";
import { askWords } from "./scenario-draft.js";

/** @typedef {import("./atrium.js").Atrium} Atrium */

/** @type {Record<string, string>} */
const units = { left_atrium_mm: "mm", right_atrium_mm: "mm", ejection_fraction: "%", age: "years", continuous_months: "months", longest_episode_days: "days", minutes_limit: "minutes" };

/** A value of a field as lines of words; none where the version does not have it. @param {string} field @param {any} value @param {Atrium} atrium @returns {string[]} */
export function valueWords(field, value, atrium) {
  const name = field.replace(/^.*\./, "").replace(/\[\d+\]$/, "");
  if (value === undefined || value === null || value === "") return [];
  if (name === "ablate") return [value ? "ablate" : "do not ablate"];
  if (typeof value === "boolean") return [value ? "yes" : "no"];
  if (typeof value === "number") return [units[name] ? `${plain(value, 2)} ${units[name]}` : plain(value, 2)];
  if (name === "lesions") return lesionWords(value, atrium);
  if (name === "asks") return value.map((/** @type {string} */ ask) => (askWords[ask] || word(ask)).toLowerCase());
  if (name === "notes") return value.map((/** @type {{text: string, source: string}} */ note) => `${note.text} (${note.source})`);
  if (name === "alternatives") return value.map((/** @type {Api.Defensible} */ one) => `${one.scope ? `scope ${word(one.scope)}` : word(one.finding)}: ${one.why}`);
  if (Array.isArray(value)) return value.length > 0 ? [listed(value.map(one => word(String(one))))] : [];
  if (name === "expert" || name === "flawed") return answerWords(value, atrium);
  if (typeof value === "object") return Object.entries(value).flatMap(([part, one]) => partWords(part, one, atrium));
  return ["title", "why", "vignette", "author", "note"].includes(name) ? [value] : [named(atrium.facts.operations, value)];
}

/** @param {string} part @param {unknown} value @param {Atrium} atrium */
function partWords(part, value, atrium) {
  const words = rangeWords(value) || valueWords(part, value, atrium);
  return words.length > 0 ? [`${part.replaceAll("_", " ")}: ${words.join(", ")}`] : [];
}

/** @param {any} value */
const rangeWords = value => (typeof value?.low === "number" ? [`${value.low} to ${value.high}`] : null);

/** Each lesion with how it is made. @param {Api.Lesion[]} lesions @param {Atrium} atrium */
function lesionWords(lesions, atrium) {
  const names = atrium.namesOf(lesions);
  return lesions.map((lesion, i) => [names[i] + (lesion.path ? ` (${counted(lesion.path.length, "point")}, from ${lesion.path[0].map(part => plain(part, 2)).join(" ")})` : ""),
    named(atrium.facts.energies, lesion.energy), counted(lesion.applications || 1, "application"), lesion.block && lesion.block !== "not-tested" ? named(atrium.facts.block_tests, lesion.block) : ""].filter(Boolean).join(", "));
}

/** A whole answer. @param {any} answer @param {Atrium} atrium @returns {string[]} */
export function answerWords(answer, atrium) {
  const { plan } = answer;
  return [answer.letter && `must get ${answer.letter}`, answer.codes?.length > 0 && `for ${listed(answer.codes.map(word))}`, answer.why, plan.ablate === false ? `no ablation: ${word(plan.reason)}` : "",
    ...lesionWords(plan.lesions, atrium), `left appendage ${plan.left_appendage.state}`].filter(Boolean);
}
