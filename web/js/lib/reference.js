// Reading from the server, and what was read last where the server cannot be reached.
import { get } from "./api.js";
import { database } from "./database.js";
import { ApiProblem } from "./problem.js";

/** @template T @typedef {{data: T, asOf?: string}} Reading asOf: when it was read, of what is kept on this device */

/** What may be kept to be read again: what a programme teaches and asks for, who is in it, and one's own cases. Never plans, grades and
 * tests: an open test hides them. */
const kept = /^\/(atrium(\?.*)?|programmes\/[^/]+(\/(people(\?.*)?|scenarios(\?.*)?|scenarios\/[^/?]+|cases(\?.*)?|cases\/[^/?]+|standards(\?.*)?|scope-polic[^/]*|case-patterns.*|follow-ups.*|trainees\/[^/]+\/standing))?)$/;

/** The database of who is signed in, where they work; set by the session. @type {{name: string}} */
export const here = { name: "" };

/**
 * @template T
 * @param {string} path @param {{signal?: AbortSignal}} [options]
 * @returns {Promise<Reading<T>>}
 */
export async function read(path, options) {
  const name = here.name, keeps = name !== "" && kept.test(path);
  try {
    const data = /** @type {T} */ (await get(path, options));
    if (keeps && name === here.name) keep(name, path, data);
    return { data };
  } catch (error) {
    if (!keeps || !(error instanceof ApiProblem && (error.offline || (error.status >= 502 && error.status <= 504)))) throw error;
    const row = await database(name).then(db => db.get("reference", path)).catch(() => undefined);
    if (!row) throw error;
    return { data: row.data, asOf: row.at };
  }
}

/** No room or no database: then it is not there without a network. @param {string} name @param {string} path @param {unknown} data */
function keep(name, path, data) {
  database(name).then(db => db.put("reference", { data, at: new Date().toISOString() }, path)).catch(() => {});
}
