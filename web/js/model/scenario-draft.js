// A scenario being written: what a new one holds, what is sent, and the words for where something stands in it.
import { capital, word } from "../lib/words.js";
import { emptyPlan } from "./plan-draft.js";

/** @param {string} [author] @returns {Api.ScenarioText} */
export const emptyScenario = (author = "") => ({
  id: "", version: 1, title: "", status: "draft", author, vignette: "",
  patient: {
    age: 0, af: { continuous_months: 0, longest_episode_days: 0, ends: "by-itself", rhythm_control_pursued: true }, left_atrium_mm: 0, ejection_fraction: 0,
    mitral_regurgitation: "", stroke_risk_items: [], earlier_ablation: "none",
  },
  operation: { primary: "", urgency: "elective", approach: "sternotomy", on_bypass: true, left_atrium_opened: false, tricuspid_work: false },
  asks: ["ablation", "lesion-set", "appendage", "aftercare"], expert: [], flawed: [], alternatives: [], notes: [],
});

/** The scenario with every list there, as the form reads it. @param {Api.ScenarioText} scenario @returns {Api.ScenarioText} */
export const whole = scenario => ({
  ...scenario, asks: scenario.asks || [], expert: scenario.expert || [], flawed: scenario.flawed || [], alternatives: scenario.alternatives || [], notes: scenario.notes || [],
  patient: { ...scenario.patient, stroke_risk_items: scenario.patient.stroke_risk_items || [] },
});

/** @returns {Api.Answer} */
export const newExpert = () => ({ title: "", why: "", plan: emptyPlan() });

/** @returns {Api.FlawedAnswer} */
export const newFlawed = () => ({ title: "", letter: "C", codes: [], plan: emptyPlan() });

/** An id made from the title: lower-case words joined by hyphens. @param {string} title */
export const idFrom = title => title.normalize("NFKD").replace(/[\u0300-\u036f'’]/g, "").toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-+|-+$/g, "").slice(0, 60).replace(/-+$/, "");

/** The scenario as sent: nothing optional that is empty, and no part of a plan that is not asked for. @param {Api.ScenarioText} scenario @returns {Api.ScenarioText} */
export function toSend(scenario) {
  const { minutes_limit: minutes, ...rest } = scenario;
  const plan = (/** @type {Api.Plan} */ one) => sentPlan(one, scenario.asks);
  return {
    ...rest, ...(minutes ? { minutes_limit: minutes } : {}),
    expert: scenario.expert.map(one => ({ ...one, plan: plan(one.plan) })), flawed: scenario.flawed.map(one => ({ ...one, plan: plan(one.plan) })),
    alternatives: scenario.alternatives.map(({ scope, finding, why }) => (scope ? { scope, why } : { finding: finding || "", why })),
  };
}

/** What only makes sense with another answer is left out; what was not answered yet stays out too, so that the check names it.
 * @param {Api.Plan} plan @param {string[]} asks @returns {Api.Plan} */
function sentPlan(plan, asks) {
  const sent = { ...plan };
  if (!asks.includes("ablation") && sent.ablate === null) sent.ablate = true;
  if (sent.ablate !== false) delete sent.reason;
  if (!sent.note?.trim()) delete sent.note;
  return sent;
}

/** The lists of answers, in the order they stand in. @type {("expert" | "flawed")[]} */
export const kinds = ["expert", "flawed"];

/** An answer by its place: 'expert[0]'. @typedef {{kind: "expert" | "flawed", index: number}} AnswerPlace */

/** @param {AnswerPlace} place */
export const fieldOf = ({ kind, index }) => `${kind}[${index}]`;

/** The answer a field belongs to, if any. @param {string} field @returns {AnswerPlace | null} */
export function answerOf(field) {
  const found = /^(expert|flawed)\[(\d+)\]/.exec(field);
  return found ? { kind: /** @type {"expert" | "flawed"} */ (found[1]), index: Number(found[2]) } : null;
}

/** What an answer is called: its title, or its place while it has none. @param {Api.ScenarioText} scenario @param {AnswerPlace} place */
export const answerName = (scenario, { kind, index }) => scenario[kind][index]?.title.trim() || (kind === "expert" ? `Expert plan ${index + 1}` : `Flawed plan ${index + 1}`);

/** The decisions a scenario can ask for, in words. @type {Record<string, string>} */
export const askWords = {
  "ablation": "Ablate or not, and why", "lesion-set": "The lesions, with energy and block tests", "appendage": "The left appendage", "aftercare": "Anticoagulation and rhythm follow-up",
  "steps": "The order of steps", "pacing": "Pacing wires left at the end", "told": "What the patient is told to expect",
};

/** @type {Record<string, string>} */
const fieldWords = {
  id: "Id", version: "Version", title: "Title", author: "Author named in the file", vignette: "Vignette", asks: "Decisions asked", minutes_limit: "Time limit of a test", notes: "Notes",
  alternatives: "Accepted besides", expert: "Expert plans", flawed: "Flawed plans", "patient.af": "AF history", "patient.af.continuous_months": "AF without a break",
  "patient.af.longest_episode_days": "Longest episode", "patient.af.ends": "How it ends", "patient.af.rhythm_control_pursued": "Rhythm control", "patient.age": "Age",
  "patient.left_atrium_mm": "Left atrium", "patient.right_atrium_mm": "Right atrium", "patient.ejection_fraction": "Ejection fraction", "patient.stroke_risk_items": "Stroke risk",
  "patient.thrombus_on_imaging": "Thrombus on imaging", "operation.primary": "Operation", "operation.redo_chest": "Chest opened before", "operation.on_bypass": "On bypass",
  "plan.left_appendage": "left appendage", "plan.pacing_wires": "pacing wires", "plan.told": "what the patient is told", "plan.ablate": "ablate or not", "plan.reason": "reason for no ablation",
};

/** A field in words, as a person finds it on the form. @param {string} field @param {Api.ScenarioText} scenario @returns {string} */
export function fieldInWords(field, scenario) {
  const place = answerOf(field);
  if (place) {
    const rest = field.slice(fieldOf(place).length + 1);
    return rest && rest !== "plan" ? `${answerName(scenario, place)}, ${partWords(rest)}` : answerName(scenario, place);
  }
  return capital(partWords(field));
}

/** @param {string} field @returns {string} */
function partWords(field) {
  if (fieldWords[field]) return fieldWords[field];
  const numbered = /^(.*?)\[(\d+)\](.*)$/.exec(field.replace(/^(patient|operation|plan)\./, ""));
  if (numbered) {
    const [, list, index, rest] = numbered;
    const singular = list === "alternatives" ? "accepted besides" : list.replace(/s$/, "");
    return `${singular.replaceAll("_", " ")} ${Number(index) + 1}${rest ? `, ${partWords(rest.slice(1))}` : ""}`;
  }
  return word(field.replace(/^(patient|operation|plan)\./, "").replace(/\.|_/g, " "));
}
