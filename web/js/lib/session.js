// Who is signed in, and in which programme they are working.
import { computed, signal } from "@preact/signals";
import { get, listeners, post, remove } from "./api.js";
import { forgetKept } from "./keep.js";
import { navigate } from "./navigate.js";
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

listeners.signedOut = () => { session.value = null; };

/** Reads the session from the server; being signed out is no failure. */
export async function loadSession() {
  sessionProblem.value = null;
  try {
    session.value = await get("/session");
  } catch (error) {
    if (/** @type {any} */ (error).status === 401) session.value = null;
    else sessionProblem.value = error;
  }
}

/** @param {string} email @param {string} password */
export async function signIn(email, password) {
  session.value = await post("/session", { email, password });
}

/** Ends the session. One who leaves on purpose is not led back to where they were. */
export async function signOut() {
  await remove("/session");
  forgetKept();
  dropTestDrafts();
  navigate("/sign-in", { replace: true });
  session.value = null;
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
