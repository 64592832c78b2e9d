// The browser's database: one for each person and programme on this device, so that nobody reads another's. It holds what waits to be sent,
// drafts, and what was read from the server to be read again without a network.
import { deleteDB, openDB } from "idb";

/** @typedef {import("idb").Database} Database */
/** @typedef {"queue" | "drafts" | "reference"} StoreName */

/**
 * What each version of the database adds to the one before. Steps are only ever added at the end, and add only: a build older than the
 * database can still read and send what waits (see opened).
 * @type {((db: import("idb").Upgrading) => void)[]}
 */
const steps = [
  db => { db.createObjectStore("queue", { keyPath: "id" }); db.createObjectStore("drafts"); db.createObjectStore("reference"); },
];

const start = "isthmus ";

/** @param {string} person @param {string} programme */
export const databaseName = (person, programme) => `${start}${person} ${programme}`;

/** @type {Map<string, Promise<Database>>} */
const open = new Map();

/** The databases whose person has signed out: what is still on its way there must not make them anew. @type {Set<string>} */
const gone = new Set();

/** Somebody is signed in whose database this is. @param {string} name */
export const expect = name => gone.delete(name);

/** The database of that name, opened once. The error is the browser's when it keeps nothing, as in some private windows, or that its person
 * has signed out. @param {string} name @returns {Promise<Database>} */
export function database(name) {
  if (gone.has(name)) return Promise.reject(new Error("signed out"));
  const known = open.get(name);
  if (known) return known;
  const opening = opened(name);
  open.set(name, opening);
  opening.catch(() => open.delete(name));
  return opening;
}

/** @param {string} name */
async function opened(name) {
  const leave = () => { open.get(name)?.then(db => db.close()); open.delete(name); };
  const on = { upgrade: (/** @type {import("idb").Upgrading} */ db, /** @type {number} */ from) => steps.slice(from).forEach(step => step(db)), blocking: leave, terminated: leave };
  try {
    return await openDB(name, steps.length, on);
  } catch (error) {
    if (/** @type {DOMException} */ (error).name !== "VersionError") throw error;
    return openDB(name, undefined, { blocking: leave, terminated: leave }); // a newer build made it; all that this one knows is still in it
  }
}

/** Deletes what this device holds of a person, in every programme. @param {string} person @param {string[]} programmes those known, where the browser cannot list */
export async function wipe(person, programmes) {
  const listed = indexedDB.databases ? (await indexedDB.databases()).map(one => one.name || "").filter(name => name.startsWith(databaseName(person, ""))) : [];
  for (const name of new Set([...listed, ...programmes.map(one => databaseName(person, one))])) {
    gone.add(name);
    const db = await open.get(name)?.catch(() => undefined);
    db?.close();
    open.delete(name);
    await deleteDB(name);
  }
}
