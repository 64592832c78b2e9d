// Where this device keeps a person's key for finding cases: in the browser's database, in a form that not even this page can read out again.
// It outlives signing out, for it cannot be fetched from anywhere; the person forgets it on purpose.
import { openDB } from "idb";
import { check, importKey } from "./case-key.js";

/** @typedef {{key: CryptoKey, check: string}} Kept check: the last group of the key's text */

const store = "keys";
const database = () => openDB("isthmus-keys", 1, { upgrade: db => { db.createObjectStore(store); } });

/** @param {string} person @returns {Promise<Kept | undefined>} */
export const keptKey = async person => (await database()).get(store, person);

/** @param {string} person @param {Uint8Array<ArrayBuffer>} raw @returns {Promise<Kept>} */
export async function keepKey(person, raw) {
  const kept = { key: await importKey(raw), check: await check(raw) };
  await (await database()).put(store, kept, person);
  return kept;
}

/** @param {string} person */
export const forgetKey = async person => (await database()).delete(store, person);
