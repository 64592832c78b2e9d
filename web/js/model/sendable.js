// The kinds of things that can wait to be sent: how each is saved, what may follow, and where a person goes on with it.
import { get, post, put } from "../lib/api.js";

/** How long an answer is waited for before the network counts as gone, in ms. */
const patienceMS = 20000;

const signal = () => AbortSignal.timeout(patienceMS);

/**
 * A kind, and the screen an entry is changed on.
 * @typedef {import("./queue.js").Kind & {title: string, screen?: (entry: import("./queue.js").Entry) => string}} Sendable
 */

/** @param {string} programme @returns {Record<string, Sendable>} */
export const sendables = programme => {
  const base = `/programmes/${programme}`;
  return { case: caseKind(base), plan: planKind(base), "follow-up": followUpKind(base) };
};

/** A case: {record, overrides?}, new or changed, and submitted where `then` is "submit". @param {string} base @returns {Sendable} */
function caseKind(base) {
  const path = (/** @type {string} */ id) => `${base}/cases/${encodeURIComponent(id)}`;
  const theirs = (/** @type {Api.CaseDetail} */ { case: now }, /** @type {any} */ body) => ({ revision: now.revision, body: { ...body, record: now.record }, done: now.status !== "draft" && now.status !== "returned" });
  return {
    title: "Case", screen: entry => `/cases/${entry.id}/edit`,
    save: async ({ id, base: revision, body }) => theirs(await (revision === null ? post(`${base}/cases`, { id, ...body }, { signal: signal() }) : put(path(id), body, { revision, signal: signal() })), body),
    act: async ({ id, body }, revision) => theirs(await post(`${path(id)}/submission`, {}, { revision, signal: signal() }), body),
    theirs: async ({ id, body }) => theirs(await get(path(id), { signal: signal() }), body),
  };
}

/** A plan for practice: {scenario, scenario_version, plan}. It is graded when it arrives, and never changes after. @param {string} base @returns {Sendable} */
function planKind(base) {
  return {
    title: "Plan",
    save: async ({ id, body }) => { await post(`${base}/plans`, { id, ...body }, { signal: signal() }); return { revision: 1, body, done: true }; },
    theirs: async ({ id, body }) => { const made = /** @type {Api.PlanDetail} */ (await get(`${base}/plans/${id}`, { signal: signal() })); return { revision: 1, body: { ...body, plan: made.plan }, done: true }; },
  };
}

/** A follow-up: {case, follow_up, overrides}. It never changes after it arrived; an amendment is made with the network. @param {string} base @returns {Sendable} */
function followUpKind(base) {
  const path = (/** @type {any} */ body) => `${base}/cases/${encodeURIComponent(body.case)}/follow-ups`;
  return {
    title: "Follow-up", screen: entry => `/cases/${entry.body.case}/follow-up`,
    save: async ({ id, body }) => { const { case: _, ...rest } = body; await post(path(body), { id, ...rest }, { signal: signal() }); return { revision: 1, body, done: true }; },
    theirs: async ({ id, body }) => {
      const all = /** @type {Api.CaseFollowUps} */ (await get(path(body), { signal: signal() }));
      const there = all.items.find(item => item.id === id);
      if (!there) throw new Error("no follow-up under this id");
      return { revision: there.version, body: { ...body, follow_up: there.follow_up }, done: true };
    },
  };
}
