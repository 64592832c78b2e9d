// Roles, sites and their days in words.
import { dayWords } from "../lib/days.js";

/** @param {{from?: string, until?: string}} days */
export const daysWords = ({ from, until }) => [from && `from ${dayWords(from)}`, until && `until ${dayWords(until)}`].filter(Boolean).join(" ");

/** A role with its days. @param {{role: string, from?: string, until?: string}} term */
export const termWords = term => [term.role, daysWords(term)].filter(Boolean).join(" ");

/** Whether something with days holds on a day. @param {{from?: string, until?: string}} days @param {string} day */
export const holdsOn = ({ from, until }, day) => (!from || from <= day) && (!until || until >= day);

/** A term of a form as the API takes it; only a reviewer's says what is seen. @param {{role: string, from: string, until: string, viewing: {trainees: string[], figures: string}}} term */
export const sentTerm = ({ role, from, until, viewing }) => ({
  role, from: from || undefined, until: until || undefined, viewing: role === "reviewer" ? { trainees: viewing.trainees, figures: viewing.figures || undefined } : undefined,
});
