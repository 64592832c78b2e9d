// Addresses. Patterns name their parts with a colon: /cases/:case/edit.

/**
 * The named parts of a path that fits the pattern, or null.
 * @param {string} pattern @param {string} path
 * @returns {Record<string, string> | null}
 */
export function match(pattern, path) {
  const want = pattern.split("/"), have = trimmed(path).split("/");
  if (want.length !== have.length) return null;
  /** @type {Record<string, string>} */
  const parts = {};
  for (let i = 0; i < want.length; i++) {
    if (!want[i].startsWith(":")) {
      if (want[i] !== have[i]) return null;
    } else if (have[i] === "") {
      return null;
    } else {
      parts[want[i].slice(1)] = decoded(have[i]);
    }
  }
  return parts;
}

/** @param {string} path */
const trimmed = path => (path.length > 1 && path.endsWith("/") ? path.slice(0, -1) : path);

/** @param {string} text */
function decoded(text) {
  try { return decodeURIComponent(text); } catch { return text; }
}

/**
 * Where to go after signing in: only to a page of this site, never to another.
 * @param {string | null} wanted
 * @returns {string}
 */
export function safeReturn(wanted) {
  if (!wanted || !wanted.startsWith("/") || wanted.startsWith("//") || wanted.includes("\\")) return "/";
  return wanted.startsWith("/sign-in") ? "/" : wanted;
}
