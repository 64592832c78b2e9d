// The decisions of a plan besides its lesions, as words.
import { counted, plain } from "../lib/numbers.js";
import { listed, named, word } from "../lib/words.js";

/** Each decision with what was decided. @param {Api.Atrium} facts @param {Api.Plan} plan @returns {[string, string][]} */
export function decisionRows(facts, plan) {
  /** @type {[string, string][]} */
  const rows = [];
  const { left_appendage: appendage, aftercare, told } = plan;
  if (plan.ablate === false) rows.push(["Ablation", `not planned: ${named(facts.reasons, plan.reason)}`]);
  if (appendage.state !== "kept") {
    rows.push(["Clot cleared before the appendage is handled", appendage.clot_first ? "yes" : "no"], ["Closure judged by echo", appendage.flow_check ? "yes" : "no"]);
  }
  if (plan.pacing_wires) rows.push(["Pacing wires", named(facts.pacing_wires, plan.pacing_wires)]);
  if (told) rows.push(["Told: sinus rhythm at 12 months", rangeWords(told.sinus_rhythm_percent)], ["Told: a new pacemaker", rangeWords(told.pacemaker_percent)]);
  if (aftercare) {
    rows.push(["Anticoagulation", `at least ${counted(aftercare.anticoagulation_months, "month")}, ${word(aftercare.anticoagulation_then)}`]);
    rows.push(["Rhythm monitoring", aftercare.monitoring_months.length > 0 ? `at ${listed(aftercare.monitoring_months.map(String))} months, ${counted(aftercare.monitoring_hours, "hour")} each time` : "none"]);
  }
  return rows;
}

/** @param {Api.Range} range */
const rangeWords = ({ low, high }) => (low === null || high === null ? "not said" : `${plain(low)} to ${plain(high)}\u00a0%`);
