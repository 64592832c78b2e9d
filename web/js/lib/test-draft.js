// What was planned in a test and has not reached the server yet, kept on this device until it has: a lost network loses nothing.
// Scenarios and their patients are invented; signing out forgets what is left.
const start = "test ";

/** @typedef {{plan: Api.Plan, revision: number}} TestDraft */

/** @param {string} sitting @param {TestDraft} draft */
export function keepTestDraft(sitting, draft) {
  try { localStorage.setItem(start + sitting, JSON.stringify(draft)); } catch { /* no room: it stays on the page */ }
}

/** @param {string} sitting @returns {TestDraft | undefined} */
export function keptTestDraft(sitting) {
  try { return JSON.parse(localStorage.getItem(start + sitting) || "null") || undefined; } catch { return undefined; }
}

/** @param {string} sitting */
export const dropTestDraft = sitting => localStorage.removeItem(start + sitting);

export const dropTestDrafts = () => Object.keys(localStorage).filter(name => name.startsWith(start)).forEach(name => localStorage.removeItem(name));

/** @typedef {{changes: Api.QuizChange[], revision: number}} QuizDraft answers of a set of questions */

/** @param {string} quiz @param {QuizDraft} draft */
export function keepQuizDraft(quiz, draft) {
  try { localStorage.setItem(`${start}quiz ${quiz}`, JSON.stringify(draft)); } catch { /* no room: it stays on the page */ }
}

/** @param {string} quiz @returns {QuizDraft | undefined} */
export function keptQuizDraft(quiz) {
  try { return JSON.parse(localStorage.getItem(`${start}quiz ${quiz}`) || "null") || undefined; } catch { return undefined; }
}

/** @param {string} quiz */
export const dropQuizDraft = quiz => localStorage.removeItem(`${start}quiz ${quiz}`);
