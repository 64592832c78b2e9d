// A supervisor's statement on a case, as it begins on the screen.

/**
 * The trainee's account of the steps, to be corrected; of an amended case what the supervisor stated of the version signed last, and the
 * trainee's account only of steps that are new.
 * @param {Api.CaseDetail} detail @returns {Api.Statement}
 */
export function firstStatement({ case: one, sign_offs: signed }) {
  const before = signed.find(signOff => signOff.case_version === one.signed_version)?.statement;
  const seen = new Map((before?.steps || []).map(step => [step.step, step.performed_by]));
  const steps = one.record.steps.map(step => ({ ...step, performed_by: seen.get(step.step) || step.performed_by }));
  if (!before) return { steps, help_given: 0, supervision_next: 0, complications_agreed: true, keep: "", change: "" };
  const { events, ...rest } = before;
  if (!events) return { ...rest, steps };
  return sameEvents(events, one.record.events) ? { ...rest, steps, complications_agreed: true } : { ...rest, steps, events };
}

/** Whether two lists name the same events. @param {string[]} a @param {string[]} b */
export const sameEvents = (a, b) => [...a].sort().join() === [...b].sort().join();

/** A statement as it is sent: the events only where they are not the trainee's. @param {Api.Statement} seen @returns {Api.Statement} */
export function asSent({ events = [], ...seen }) {
  const trimmed = { ...seen, keep: seen.keep.trim(), change: seen.change.trim() };
  return seen.complications_agreed ? trimmed : { ...trimmed, events };
}

/** What is missing in a statement, as lines of its form. @param {Api.Statement} seen @param {string[]} theirs the trainee's events @returns {{field: string, says: string}[]} */
export function unanswered(seen, theirs) {
  const lines = [];
  if (seen.help_given === 0) lines.push({ field: "help_given", says: "Say how much help was given in this case." });
  if (seen.supervision_next === 0) lines.push({ field: "supervision_next", says: "Say what supervision you would want for the next such case." });
  if (!seen.complications_agreed && sameEvents(seen.events || [], theirs)) lines.push({ field: "events", says: "Tick the events as you know them, or agree: these are the trainee's." });
  if (!seen.keep.trim()) lines.push({ field: "keep", says: "Name one thing to keep." });
  if (!seen.change.trim()) lines.push({ field: "change", says: "Name one thing to change." });
  return lines;
}

/** The events as a statement has them, in words. @param {Api.Statement} statement @param {(event: string) => string} name */
export const eventWords = (statement, name) => (statement.complications_agreed ? "agreed"
  : statement.events ? `corrected to ${statement.events.map(name).join(", ") || "none"}` : "not agreed");
