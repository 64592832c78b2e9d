// Who is signed in, and in which programme they are working.
import { computed, signal } from "@preact/signals";
import { get, listeners, post, remove } from "./api.js";
import { databaseName, expect, wipe } from "./database.js";
import { forgetKept } from "./keep.js";
import { navigate } from "./navigate.js";
import { here } from "./reference.js";
import { forgetSession, keepSession, keptSession, leave, leaving, left } from "./signed-in.js";
import { dropTestDrafts } from "./test-draft.js";

/** undefined while unknown, null when signed out. */
export const session = signal(/** @type {Api.Session | null | undefined} */ (undefined));

/** Why the session could not be read, if so. */
export const sessionProblem = signal(/** @type {unknown} */ (null));

const chosen = signal(localStorage.getItem("programme") || "");

/** The membership the person works under: the one chosen, else the first. */
export const membership = computed(() => {
  const all = session.value?.memberships || [];
  return all.find(one => one.programme === chosen.value) || all[0];
});

/** The name of the database of who is signed in, where they work; empty when nobody is. */
export const databaseHere = computed(() => (session.value && membership.value ? databaseName(session.value.person.id, membership.value.programme) : ""));

databaseHere.subscribe(name => { here.name = name; if (name) expect(name); });

listeners.signedOut = () => { forgetSession(); session.value = null; };

/** Reads the session from the server; being signed out is no failure. Without the server, who was signed in on this device still is. */
export async function loadSession() {
  sessionProblem.value = null;
  try {
    if (leaving()) { await endSession(); left(); }
    session.value = await get("/session");
    keepSession(session.peek());
  } catch (error) {
    const { status } = /** @type {import("./problem.js").ApiProblem} */ (error), kept = keptSession();
    if (status === 401 || leaving()) { forgetSession(); session.value = null; }
    else if (kept && (status === 0 || status >= 502)) session.value = kept;
    else sessionProblem.value = error;
  }
}

/** @param {string} email @param {string} password */
export async function signIn(email, password) {
  session.value = await post("/session", { email, password });
  left();
  keepSession(session.peek());
}

/** Ends the session, which is over already where the server knows none. */
const endSession = () => remove("/session").catch(error => { if (error.status !== 401) throw error; });

/** Ends the session and deletes what this device holds of the person, what waits to be sent too. One who leaves on purpose is not led back
 * to where they were. Without a network the session ends on the server as soon as it is reached. */
export async function signOut() {
  const person = session.peek()?.person.id || "", programmes = (session.peek()?.memberships || []).map(one => one.programme);
  await endSession().catch(error => { if (error.status !== 0) throw error; leave(); });
  forgetKept();
  dropTestDrafts();
  forgetSession();
  navigate("/sign-in", { replace: true });
  session.value = null;
  await wipe(person, programmes);
}

/** @param {string} programme */
export function workIn(programme) {
  localStorage.setItem("programme", programme);
  chosen.value = programme;
}

/** The path of something of the programme being worked in. @param {string} path */
export const at = path => `/programmes/${membership.value?.programme || ""}${path}`;

/** @param {...string} roles */
export const has = (...roles) => roles.some(role => membership.value?.roles.includes(role));
