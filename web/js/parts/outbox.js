// What waits to be sent, of who is signed in, where they work: entering, watching, and sending when the network is there.
import { computed, signal } from "@preact/signals";
import { listeners } from "../lib/api.js";
import { database } from "../lib/database.js";
import { ApiProblem, inWords } from "../lib/problem.js";
import { databaseHere, membership, session } from "../lib/session.js";
import { uuid7 } from "../lib/uuid.js";
import { Queue } from "../model/queue.js";
import { sendables } from "../model/sendable.js";

/** @typedef {import("../model/queue.js").Entry} Entry */
/** @typedef {import("../model/queue.js").Outcome} Outcome */

/** What waits, in the order it was entered. */
export const waiting = signal(/** @type {Entry[]} */ ([]));

/** Whether it is known by now what waits. */
export const queueRead = signal(false);

/** The id of what is on its way. */
export const onItsWay = signal("");

/** Whether the last call reached the server. */
export const connected = signal(true);

/** How many things wait, and whether one of them needs the person. */
export const queueState = computed(() => ({ count: waiting.value.length, stuck: waiting.value.some(one => one.state !== "waiting") }));

/** @type {{name: string, queue: Queue} | null} */
let now = null;

const others = "BroadcastChannel" in globalThis ? new BroadcastChannel("isthmus queue") : null;

/** Where a database's entries are kept. @param {string} name @returns {import("../model/queue.js").Rows} */
export const rowsOf = name => ({
  all: async () => (await (await database(name)).getAll("queue")).sort((a, b) => a.seq - b.seq),
  change: async (id, turn) => {
    const change = (await database(name)).transaction("queue", "readwrite");
    const all = /** @type {Entry[]} */ (await change.store.getAll());
    const after = turn(all.find(one => one.id === id), Math.max(0, ...all.map(one => one.seq)));
    if (after) await change.store.put(after);
    else await change.store.delete(id);
    await change.done;
    return after;
  },
});

/** @param {string} name @returns {Queue} */
function queueOf(name) {
  const rows = rowsOf(name), programme = membership.peek()?.programme || "";
  const show = async () => { const all = await rows.all().catch(() => []); if (now?.name === name) { waiting.value = all; onItsWay.value = now.queue.sending; } };
  return new Queue({
    rows, kinds: sendables(programme), now: () => new Date().toISOString(), faultOf,
    later: (call, ms) => { const timer = setTimeout(call, ms); return () => clearTimeout(timer); },
    tell: () => { show(); others?.postMessage(name); },
    alone: act => (navigator.locks ? navigator.locks.request(`send ${name}`, act) : act()), // no locks on an insecure origin: sending twice is harmless
  });
}

/** @param {unknown} error @returns {import("../model/queue.js").Fault} */
function faultOf(error) {
  const { title, next } = inWords(error);
  const problem = error instanceof ApiProblem ? error : undefined;
  return { status: problem?.status || 0, title, says: next, fields: [...(problem?.byField("record", "plan") || [])] };
}

/** Follows who is signed in and where they work; sends on every sign that the network is there. Called once. */
export function startOutbox() {
  databaseHere.subscribe(name => {
    now?.queue.stop();
    now = null;
    waiting.value = [];
    queueRead.value = false;
    onItsWay.value = "";
    if (!name) return;
    now = { name, queue: queueOf(name) };
    refresh();
    now.queue.send();
  });
  const send = () => { if (session.peek()) now?.queue.send(); };
  listeners.reached = it => { const back = it && !connected.peek(); connected.value = it; if (back) send(); };
  addEventListener("online", send);
  document.addEventListener("visibilitychange", () => { if (document.visibilityState === "visible") send(); });
  others?.addEventListener("message", event => { if (event.data === now?.name) refresh(); });
}

async function refresh() {
  const name = now?.name;
  if (!name) return;
  const all = await rowsOf(name).all().catch(() => /** @type {Entry[]} */ ([]));
  if (now?.name !== name) return;
  waiting.value = all;
  queueRead.value = true;
}

/** The queue of who is signed in. The error is that nobody is. */
function queue() {
  if (!now) throw new Error("nobody is signed in");
  return now.queue;
}

/**
 * Keeps a thing on this device and sends it, now or when the network is there. Resolves once it is kept, with its id and with what becomes of
 * the first try: sent (with what the server has), refused or conflict (with the entry), waiting (no network), gone (taken out).
 * Entering an id again replaces what waits under it. The error is that the browser keeps nothing.
 * @param {string} kind of model/sendable.js @param {unknown} body as sent, without the id
 * @param {{id?: string, base?: number | null, then?: string, name?: string}} [how] base: the revision it was made on, absent for a new thing; then: the act
 *   that follows ("submit"); name: what the queue's list calls it
 */
export async function enqueue(kind, body, how = {}) {
  const { entry, outcome } = await queue().enter({ id: how.id || uuid7(), kind, name: how.name || "", body, base: how.base, then: how.then });
  return { id: entry.id, outcome };
}

/** Takes a thing out of the queue. @param {string} id */
export const withdraw = id => queue().drop(id);

/** @param {string} id */
export const tryAgain = id => queue().retry(id);

/** @param {string} id @param {unknown} body goes on top of what the server has */
export const settle = (id, body) => queue().settle(id, body);

export const sendNow = () => queue().send();

/** How much of the person's own this device holds that the server does not have, in every programme. @returns {Promise<{waiting: number, drafts: number}>} */
export async function unsent() {
  const person = session.peek()?.person.id || "";
  const counts = { waiting: 0, drafts: 0 };
  for (const { programme } of session.peek()?.memberships || []) {
    const db = await database(`isthmus ${person} ${programme}`).catch(() => undefined);
    counts.waiting += await db?.count("queue") || 0;
    counts.drafts += await db?.count("drafts") || 0;
  }
  return counts;
}
