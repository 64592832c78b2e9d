// What differs between two versions of a thing of any kind, field by field, in words.

/** @typedef {{what: string, mine: string, theirs: string}} Row */

/** @param {any} mine @param {any} theirs @returns {Row[]} */
export function differencesOf(mine, theirs) {
  const a = leaves(mine), b = leaves(theirs);
  return [...new Set([...a.keys(), ...b.keys()])].filter(path => (a.get(path) || "") !== (b.get(path) || ""))
    .map(path => ({ what: inWords(path), mine: a.get(path) || "-", theirs: b.get(path) || "-" }));
}

/** Every value that is no object or list, by its path. @param {any} value @param {string[]} [path] @param {Map<string, string>} [found] @returns {Map<string, string>} */
function leaves(value, path = [], found = new Map()) {
  if (value === null || value === undefined || value === "") return found;
  if (typeof value !== "object") return found.set(path.join("."), said(value));
  if (Array.isArray(value) && value.every(item => typeof item !== "object")) return value.length ? found.set(path.join("."), value.map(said).join(", ")) : found;
  for (const [key, item] of Object.entries(value)) leaves(item, [...path, Array.isArray(value) ? String(Number(key) + 1) : key], found);
  return found;
}

/** @param {unknown} value */
function said(value) {
  if (typeof value === "boolean") return value ? "yes" : "no";
  return typeof value === "string" && /^[a-z]+(-[a-z]+)*$/.test(value) ? value.replaceAll("-", " ") : String(value);
}

/** The outermost name says nothing where all have it. @param {string} path */
function inWords(path) {
  const words = path.replace(/^(record|plan)\./, "").replaceAll("_", " ").replaceAll(".", ", ");
  return words.charAt(0).toUpperCase() + words.slice(1);
}
