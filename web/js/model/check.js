// What a check of a scenario found, placed where a person mends it.
import { answerOf, fieldInWords, fieldOf } from "./scenario-draft.js";

/** @typedef {{field: string, says: string}} Line */

/** The faults as lines of a summary, each saying where it stands. @param {Api.CheckFault[]} faults @param {Api.ScenarioText} scenario @returns {Line[]} */
export const lines = (faults, scenario) => faults.map(({ field, message }) => ({ field, says: field ? `${fieldInWords(field, scenario)}: ${message}` : message }));

/** What stands at each field. A fault deeper than the form has fields (patient.stroke_risk_items[0]) stands at the nearest field that holds it.
 * @param {Api.CheckFault[]} faults @returns {Map<string, string>} */
export function atFields(faults) {
  /** @type {Map<string, string>} */
  const found = new Map();
  for (const { field, message } of faults) {
    const at = held(field);
    const says = message.charAt(0).toUpperCase() + message.slice(1);
    found.set(at, found.has(at) ? `${found.get(at)}; ${says}` : says);
  }
  return found;
}

/** Lists that are one field of the form. @param {string} field */
const held = field => field.replace(/^(patient\.stroke_risk_items|asks)\[\d+\]$/, "$1").replace(/^((expert|flawed)\[\d+\]\.codes)\[\d+\]$/, "$1");

/** The faults of one answer, the fields named as in a plan's form ('lesions[2].energy'). @param {Map<string, string>} faults @param {import("./scenario-draft.js").AnswerPlace} place
 * @returns {Map<string, string>} */
export function inAnswer(faults, place) {
  const start = `${fieldOf(place)}.plan.`;
  return new Map([...faults].flatMap(([field, says]) => (field.startsWith(start) ? [[field.slice(start.length), says]] : [])));
}

/** How many faults an answer has. @param {Api.CheckFault[]} faults @param {import("./scenario-draft.js").AnswerPlace} place */
export const countIn = (faults, place) => faults.filter(({ field }) => {
  const at = answerOf(field);
  return at?.kind === place.kind && at.index === place.index;
}).length;

/** The check of an answer: they come in the order of the scenario, experts first. @param {Api.Check | undefined} check @param {Api.ScenarioText} scenario
 * @param {import("./scenario-draft.js").AnswerPlace} place @returns {Api.AnswerCheck | undefined} */
export function gradeOf(check, scenario, { kind, index }) {
  if (!check || check.answers.length !== scenario.expert.length + scenario.flawed.length) return undefined;
  return check.answers[kind === "expert" ? index : scenario.expert.length + index];
}

/** Whether a scenario can be submitted, in words; empty when it can. @param {Api.Check | undefined} check @param {boolean} stale */
export function hindrance(check, stale) {
  if (!check) return "The check has not answered yet.";
  if (stale) return "The last changes are being checked.";
  return check.faults.length > 0 ? `${check.faults.length} ${check.faults.length === 1 ? "fault" : "faults"} to mend first.` : "";
}
