// What may come of a standing, in words.
import { dayWords } from "../lib/days.js";
import { counted, percent } from "../lib/numbers.js";

/**
 * When a requirement may be met, or why that cannot be said; empty when it is met.
 * @param {Api.Projection} projection
 */
export function projected({ more, of, low, median, high, level = 0, cases = 0, days = 0, cannot_say: why }) {
  if (why) return `When: cannot say yet, ${why}.`;
  if (more === 0) return "";
  if (of === "plan") return `When: on any day, ${counted(more, "plan")} handed in would do.`;
  const range = high ? `${dayWords(low)} to ${dayWords(high)}` : `${dayWords(low)} at the earliest, no latest day`;
  return `When: ${dayWords(median)} as likely as not (${range}, ${percent(level)}), at the pace of ${counted(cases, "such case")} in ${counted(days, "day")}.`;
}

/**
 * Where an act is done by the trainee, and the evidence of what it moves for everybody else.
 * @param {Api.Act} act @param {boolean} own @param {string} evidence
 */
export function actPlace({ kind }, own, evidence) {
  if (!own) return evidence;
  return { "case": "/cases/new", "plan": "/scenarios", "sign-off": "/cases?status=submitted" }[kind];
}

/**
 * What of the trainee's own waits, what they can do something about first.
 * @param {Api.TraineeStanding["waiting"]} waiting
 * @returns {{to: string, name: string, detail: string}[]}
 */
export function waitingFor({ returned, drafts, submitted }) {
  const list = [
    { count: returned, to: "/cases?status=returned", name: `${counted(returned, "case")} returned`, detail: "Read why, correct, submit again." },
    { count: drafts, to: "/cases?status=draft", name: counted(drafts, "draft"), detail: "Finish and submit." },
    { count: submitted, to: "/cases?status=submitted", name: `${counted(submitted, "case")} waiting for sign-off`, detail: "Counts once it is signed." },
  ];
  return list.filter(one => one.count > 0).map(({ to, name, detail }) => ({ to, name, detail }));
}

/**
 * Evidence that came or went, by the reason, so that ten cases of one reason are one line.
 * @param {Api.Moved[]} moved @returns {{reason: string, items: Api.Moved[]}[]}
 */
export function byReason(moved) {
  const reasons = [...new Set(moved.map(one => one.reason))];
  return reasons.map(reason => ({ reason, items: moved.filter(one => one.reason === reason) }));
}
