// A follow-up while it is entered, and how it is said.
import { counted } from "../lib/numbers.js";
import { dayWords } from "../lib/days.js";

/** A follow-up with nothing in it that was not asked. @param {number} month @returns {Api.FollowUp} */
export const emptyFollowUp = month => ({
  month, rhythm: "", monitoring: "", monitoring_hours: 0, arrhythmia: "", antiarrhythmic: "", anticoagulated: false, pacemaker: null, repeat_procedures: [], stroke: "none", died: false,
});

/** Whether something was recorded that has a length. @param {string} monitoring */
export const hasHours = monitoring => monitoring === "ambulatory" || monitoring === "implanted";

/** What is sent: no hours without a recording. @param {Api.FollowUp} entered @returns {Api.FollowUp} */
export const toSend = entered => ({ ...entered, monitoring_hours: hasHours(entered.monitoring) ? entered.monitoring_hours : 0, note: entered.note?.trim() || undefined });

/** The month to offer first: of what is due the latest, which is the one people come for now. @param {Api.Due[]} schedule */
export function monthToOffer(schedule) {
  const open = schedule.filter(one => one.state === "late" || one.state === "due" || one.state === "coming");
  return open.length > 0 ? open[open.length - 1].month : 0;
}

/** The months a follow-up can be recorded for: those asked for that are not ahead, and not there yet. @param {Api.Due[]} schedule */
export const openMonths = schedule => schedule.filter(one => one.state !== "done" && one.state !== "later").map(one => one.month);

/** @param {number} month */
export const monthWords = month => (month >= 12 && month % 12 === 0 ? counted(month / 12, "year") : counted(month, "month"));

const stateWords = { done: "done", coming: "coming", due: "due", late: "late", later: "later" };

/** @param {Api.Due} due */
export const dueWords = due => (due.state === "done" ? `${monthWords(due.month)}: done` : `${monthWords(due.month)}: ${stateWords[due.state]}, ${dayWords(due.on)}`);

/** What is not filled in yet, as lines of the summary. @param {Api.FollowUp} f @returns {{field: string, says: string}[]} */
export function missingIn(f) {
  const lines = [];
  if (!f.month) lines.push({ field: "month", says: "Choose how long after the operation." });
  if (!f.rhythm) lines.push({ field: "rhythm", says: "Choose the rhythm." });
  if (!f.monitoring) lines.push({ field: "monitoring", says: "Choose how the rhythm was recorded." });
  if (hasHours(f.monitoring) && !(f.monitoring_hours > 0)) lines.push({ field: "monitoring_hours", says: "Give the hours recorded without a break." });
  if (!f.arrhythmia) lines.push({ field: "arrhythmia", says: "Say whether there was an arrhythmia since the last follow-up." });
  if (!f.antiarrhythmic) lines.push({ field: "antiarrhythmic", says: "Say which antiarrhythmic drug is taken." });
  return lines;
}

/** The rule of success, in a sentence. @param {Api.FollowUpRule} rule */
export const ruleWords = rule => `Success by this programme (follow-up rule ${rule.version}): no atrial arrhythmia over ${rule.episode_over_seconds} s`
  + `${rule.off_antiarrhythmics ? ", without a class I or III drug," : ""} after ${rule.blanking_days} days of blanking, with at least ${rule.least_hours} hours recorded.`;
