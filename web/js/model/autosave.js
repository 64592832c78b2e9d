// Saving a test's plan by itself: a moment after each change, kept in the browser until the server has it, never over a newer one.
import { canonical } from "./plan-draft.js";

/**
 * @typedef {{kind: "new" | "saved" | "changed" | "saving" | "offline" | "refused" | "failed" | "stale" | "over", at?: string, problem?: unknown, theirs?: Api.Sitting}} SaveState
 * new: nothing saved yet; offline: kept in the browser until the network is back; stale: a newer one was saved elsewhere (theirs); over: the test is
 */

/**
 * What the saving needs from outside. `later` calls after a time and gives what calls that off; `keep` and `drop` are the browser's own memory.
 * @typedef {{send: (plan: Api.Plan, revision: number) => Promise<Api.Sitting>, newest: () => Promise<Api.Sitting>, keep: (kept: {plan: Api.Plan, revision: number}) => void, drop: () => void,
 *   later: (call: () => void, ms: number) => () => void, tell: (state: SaveState) => void}} Outside
 */

/** How long after the last change a save goes out, and how long after a failure the next try, in ms. */
const restMS = 1200, againMS = 4000;

export class Autosave {
  /** @type {Outside} */ #out;
  /** @type {Api.Plan | null} what the server does not have yet */ #waiting = null;
  /** @type {Promise<void> | null} */ #running = null;
  #callOff = () => {};
  #halted = false;

  /** @param {Outside} outside @param {number} revision of the plan as it was read @param {string} [savedAt] @param {boolean} [clash] a choice between two plans comes first */
  constructor(outside, revision, savedAt, clash = false) {
    this.#out = outside;
    this.#halted = clash;
    this.revision = revision;
    this.savedAt = savedAt;
  }

  /** Notes a changed plan, and saves it soon. @param {Api.Plan} plan */
  change(plan) {
    this.#waiting = plan;
    this.#out.keep({ plan, revision: this.revision });
    if (this.#halted) return;
    this.#out.tell({ kind: "changed", at: this.savedAt });
    this.#soon(restMS);
  }

  /** Saves now what waits, after a save that runs. @returns {Promise<void>} */
  async flush() {
    this.#callOff();
    if (this.#running) await this.#running;
    if (!this.#waiting || this.#halted) return undefined;
    this.#running = this.#save(this.#waiting).finally(() => { this.#running = null; });
    return this.#running;
  }

  /** Decides a conflict: this plan goes on top of theirs. @param {Api.Plan} plan @param {Api.Sitting} theirs */
  settle(plan, theirs) {
    this.revision = theirs.revision;
    this.savedAt = theirs.saved_at;
    this.#halted = false;
    this.change(plan);
    return this.flush();
  }

  /** No more saves: the test is submitted or over. Gives when the one that runs is through. @returns {Promise<void>} */
  async stop() {
    this.#callOff();
    this.#halted = true;
    await this.#running;
  }

  /** The other way round, when a submission was refused. */
  goOn() { this.#halted = false; if (this.#waiting) this.#soon(restMS); }

  /** @param {number} ms */
  #soon(ms) { this.#callOff(); this.#callOff = this.#out.later(() => { this.flush(); }, ms); }

  /** @param {Api.Plan} plan */
  async #save(plan) {
    this.#waiting = null;
    this.#out.tell({ kind: "saving", at: this.savedAt });
    try {
      this.#saved(await this.#out.send(plan, this.revision));
    } catch (error) {
      this.#waiting ??= plan;
      await this.#refused(plan, /** @type {import("../lib/problem.js").ApiProblem} */ (error));
    }
  }

  /** @param {Api.Sitting} sitting */
  #saved({ revision, saved_at }) {
    this.revision = revision;
    this.savedAt = saved_at;
    if (this.#waiting) {
      this.#out.keep({ plan: this.#waiting, revision });
      if (!this.#halted) this.#soon(restMS);
      return;
    }
    this.#out.drop();
    this.#out.tell({ kind: "saved", at: saved_at });
  }

  #over() {
    this.#callOff();
    this.#halted = true;
    this.#out.drop();
    this.#out.tell({ kind: "over" });
  }

  /** @param {Api.Plan} plan @param {import("../lib/problem.js").ApiProblem} error */
  async #refused(plan, error) {
    if (error.kind === "test-over") return this.#over();
    if (error.status === 412) {
      const theirs = await this.#out.newest().catch(() => null);
      if (theirs && theirs.status !== "open") return this.#over();
      if (theirs && canonical(theirs.plan) === canonical(plan)) { // our own save, whose answer got lost
        if (this.#waiting === plan) this.#waiting = null;
        return this.#saved(theirs);
      }
      if (theirs) { this.#halted = true; this.#callOff(); return this.#out.tell({ kind: "stale", theirs, at: theirs.saved_at }); }
    }
    if (error.status === 422) return this.#out.tell({ kind: "refused", problem: error, at: this.savedAt }); // the next change may mend it
    this.#out.tell({ kind: error.status === 0 ? "offline" : "failed", problem: error, at: this.savedAt });
    return this.#soon(againMS);
  }
}
