// Asking for what belongs to a value that changes quickly: always for the newest, at most one question at a time.

/**
 * What the asking needs from outside. `now` is a clock in ms; `later` calls after a time and gives what calls that off.
 * @template V, A
 * @typedef {{send: (value: V, signal: AbortSignal) => Promise<A>, tell: (value: V, answer: A) => void, fail: (problem: unknown) => void,
 *   now: () => number, later: (call: () => void, ms: number) => () => void}} Outside
 */

/** The least time between two questions, and how long an answer is waited for when there is a newer question, in ms. A pulled point gives
 * a new one every 16 ms; an answer takes 20 to 50. */
const gapMS = 40, patienceMS = 250;

/** @template V, A */
export class Latest {
  /** @type {Outside<V, A>} */ #out;
  /** @type {{value: V} | null} */ #waiting = null;
  /** @type {AbortController | null} */ #running = null;
  #began = -Infinity;
  #callOff = () => {};

  /** @param {Outside<V, A>} outside */
  constructor(outside) { this.#out = outside; }

  /** Asks for a value's answer, as soon as it may; a value not asked for yet is forgotten. @param {V} value */
  ask(value) {
    this.#waiting = { value };
    this.#next();
  }

  /** Gives up what waits and what runs. */
  stop() {
    this.#callOff();
    this.#waiting = null;
    this.#running?.abort();
    this.#running = null;
  }

  #next() {
    this.#callOff();
    if (!this.#waiting) return;
    const wait = this.#began + (this.#running ? patienceMS : gapMS) - this.#out.now();
    if (wait > 0) { this.#callOff = this.#out.later(() => this.#next(), wait); return; }
    this.#running?.abort(); // its answer would be of an old value, and late
    this.#start(this.#waiting.value);
  }

  /** @param {V} value */
  #start(value) {
    const mine = new AbortController();
    this.#waiting = null;
    this.#running = mine;
    this.#began = this.#out.now();
    const end = (/** @type {() => void} */ say) => {
      if (this.#running !== mine) return;
      this.#running = null;
      say();
      this.#next();
    };
    this.#out.send(value, mine.signal).then(answer => end(() => this.#out.tell(value, answer)), problem => end(() => this.#out.fail(problem)));
  }
}
