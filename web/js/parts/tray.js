// The tray: sign-offs prepared on this device by the person signed in, in the programme worked in. It goes with them when they sign out.
import { signal } from "@preact/signals";
import { database } from "../lib/database.js";
import { databaseHere } from "../lib/session.js";

/** @typedef {import("../model/tray.js").Prepared} Prepared */

/** What is in the tray, the first put in first; undefined while it is read. */
export const tray = signal(/** @type {Prepared[] | undefined} */ (undefined));

const keyOf = (/** @type {string} */ id) => `tray ${id}`;

/** Reads the tray anew: another window may have changed it. */
export async function readTray() {
  const name = databaseHere.peek();
  if (!name) { tray.value = undefined; return; }
  const kept = await database(name).then(db => db.getAll("drafts")).catch(() => []);
  if (databaseHere.peek() !== name) return;
  tray.value = kept.filter(one => one.tray).sort((a, b) => a.at.localeCompare(b.at)).map(one => one.tray);
}

databaseHere.subscribe(() => { tray.value = undefined; readTray(); });

/** Puts a prepared sign-off in, in place of an earlier one of the case. The error is that this browser keeps nothing. @param {Prepared} prepared */
export async function putIn(prepared) {
  const db = await database(databaseHere.peek());
  await db.put("drafts", { tray: prepared, at: new Date().toISOString() }, keyOf(prepared.case));
  await readTray();
}

/** @param {string} id of a case */
export async function takeOut(id) {
  await database(databaseHere.peek()).then(db => db.delete("drafts", keyOf(id))).catch(() => {});
  await readTray();
}
