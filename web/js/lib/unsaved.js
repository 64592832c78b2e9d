// What someone wrote and has not saved yet, kept in this tab until it is: a reload or a lost page loses nothing. Only of scenarios, whose
// patients are invented, and of questions.
const start = "unsaved ";

/** @param {string} name @param {unknown} value */
export function keepUnsaved(name, value) {
  try { sessionStorage.setItem(start + name, JSON.stringify(value)); } catch { /* no room: what is on the page stays there */ }
}

/** @template T @param {string} name @returns {T | undefined} */
export function unsaved(name) {
  const text = sessionStorage.getItem(start + name);
  try { return text ? JSON.parse(text) : undefined; } catch { return undefined; }
}

/** @param {string} name */
export const forgetUnsaved = name => sessionStorage.removeItem(start + name);

export const forgetAllUnsaved = () => Object.keys(sessionStorage).filter(name => name.startsWith(start)).forEach(name => sessionStorage.removeItem(name));
