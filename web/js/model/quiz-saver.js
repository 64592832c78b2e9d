// Saving the answers of an attempt by itself: question by question, kept in the browser until the server has them, never over newer ones.
import { sameGiven } from "./quiz.js";

/**
 * @typedef {{kind: "new" | "saved" | "changed" | "saving" | "offline" | "refused" | "failed" | "stale" | "over", problem?: unknown, theirs?: Api.Quiz}} QuizState
 * offline: kept in the browser until the network is back; stale: newer answers were saved elsewhere (theirs); over: the attempt is
 * @typedef {{send: (changes: Api.QuizChange[], revision: number) => Promise<Api.Quiz>, newest: () => Promise<Api.Quiz>, keep: (kept: {changes: Api.QuizChange[], revision: number}) => void,
 *   drop: () => void, later: (call: () => void, ms: number) => () => void, tell: (state: QuizState) => void}} QuizOutside
 */

/** How long after the last change a save goes out, and how long after a failure the next try, in ms. */
const restMS = 500, againMS = 4000;

export class QuizSaver {
  /** @type {QuizOutside} */ #out;
  /** @type {Map<number, Api.QuizChange>} by place, what the server does not have yet */ #waiting = new Map();
  /** @type {Promise<void> | null} */ #running = null;
  #callOff = () => {};
  #halted = false;

  /** @param {QuizOutside} outside @param {number} revision as it was read */
  constructor(outside, revision) {
    this.#out = outside;
    this.revision = revision;
  }

  /** Goes on with what this device has kept. @param {{changes: Api.QuizChange[], revision: number}} kept @param {Api.Quiz} theirs as the server has it */
  begin({ changes, revision }, theirs) {
    for (const change of changes) this.#waiting.set(change.place, change);
    if (revision === this.revision) return this.#soon(0);
    this.#halted = true;
    return this.#out.tell({ kind: "stale", theirs });
  }

  /** What the server does not have yet. @returns {Api.QuizChange[]} */
  get waiting() { return [...this.#waiting.values()]; }

  /** Notes an answer, and saves it soon. @param {Api.QuizChange} change */
  change(change) {
    this.#waiting.set(change.place, change);
    this.#keep();
    if (this.#halted) return;
    this.#out.tell({ kind: "changed" });
    this.#soon(restMS);
  }

  /** Saves now what waits, after a save that runs. @returns {Promise<void>} */
  async flush() {
    this.#callOff();
    if (this.#running) await this.#running;
    if (this.#waiting.size === 0 || this.#halted) return undefined;
    this.#running = this.#save(this.waiting).finally(() => { this.#running = null; });
    return this.#running;
  }

  /** Decides a conflict: one's own answers go on top of theirs, or are given up. @param {boolean} mine @param {Api.Quiz} theirs */
  settle(mine, theirs) {
    this.revision = theirs.revision;
    this.#halted = false;
    if (mine) { this.#keep(); return this.flush(); }
    this.#waiting.clear();
    this.#out.drop();
    this.#out.tell({ kind: "saved" });
    return Promise.resolve();
  }

  #keep() { this.#out.keep({ changes: this.waiting, revision: this.revision }); }

  /** @param {number} ms */
  #soon(ms) { this.#callOff(); this.#callOff = this.#out.later(() => { this.flush(); }, ms); }

  /** @param {Api.QuizChange[]} changes */
  async #save(changes) {
    this.#out.tell({ kind: "saving" });
    try {
      this.#saved(changes, await this.#out.send(changes, this.revision));
    } catch (error) {
      await this.#refused(changes, /** @type {import("../lib/problem.js").ApiProblem} */ (error));
    }
  }

  /** @param {Api.QuizChange[]} changes @param {Api.Quiz} quiz */
  #saved(changes, quiz) {
    this.revision = quiz.revision;
    for (const change of changes) if (this.#waiting.get(change.place) === change) this.#waiting.delete(change.place);
    if (this.#waiting.size > 0) { this.#keep(); return this.#soon(restMS); }
    this.#out.drop();
    return this.#out.tell({ kind: "saved" });
  }

  #over() {
    this.#callOff();
    this.#halted = true;
    this.#out.drop();
    this.#out.tell({ kind: "over" });
  }

  /** @param {Api.QuizChange[]} changes @param {import("../lib/problem.js").ApiProblem} error */
  async #refused(changes, error) {
    if (error.kind === "test-over") return this.#over();
    if (error.status === 412) {
      const theirs = await this.#out.newest().catch(() => null);
      if (theirs && theirs.status !== "open") return this.#over();
      const has = (/** @type {Api.QuizChange} */ one) => sameGiven(theirs?.places?.[one.place - 1]?.given || {}, one.given);
      if (theirs && changes.every(has)) return this.#saved(changes, theirs); // our own save, whose answer got lost
      if (theirs) { this.#halted = true; this.#callOff(); return this.#out.tell({ kind: "stale", theirs }); }
    }
    if (error.status === 422 || error.status === 409) {
      for (const change of changes) this.#waiting.delete(change.place);
      this.#out.drop();
      return this.#out.tell({ kind: "refused", problem: error });
    }
    this.#out.tell({ kind: error.status === 0 ? "offline" : "failed", problem: error });
    return this.#soon(againMS);
  }
}
