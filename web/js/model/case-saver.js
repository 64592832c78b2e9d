// Saving a case by itself while it is entered: a moment after each change, one save at a time, never over a newer one.

/**
 * @typedef {{kind: "new" | "changed" | "saving" | "saved" | "offline" | "refused" | "failed" | "stale" | "kept", problem?: unknown}} CaseSaving
 * new: nothing to save yet; kept: on this device, in the queue; offline: on this page only; refused: what is entered cannot be kept as it is; stale: changed elsewhere
 * What is saved is a record with what is kept in it; nothing here looks inside.
 * @typedef {{create: (record: Api.CaseBody, key: string) => Promise<Api.CaseDetail>, replace: (id: string, record: Api.CaseBody, revision: number) => Promise<Api.CaseDetail>,
 *   newKey: () => string, later: (call: () => void, ms: number) => () => void, tell: (state: CaseSaving) => void}} CaseOutside
 */

/** How long after the last change a save goes out, and how long after a failure the next try, in ms. */
const restMS = 1500, againMS = 5000;

export class CaseSaver {
  /** @type {CaseOutside} */ #out;
  /** @type {Api.CaseBody | null} what the server does not have yet */ #waiting = null;
  /** @type {Promise<unknown> | null} */ #running = null;
  /** @type {{record: Api.CaseBody, key: string} | null} a creation whose answer is not in: it is asked for again unchanged */ #creating = null;
  #callOff = () => {};
  #halted = false;

  /** @param {CaseOutside} outside @param {Api.Case} [saved] the case as the server has it */
  constructor(outside, saved) {
    this.#out = outside;
    this.saved = saved;
  }

  /** Notes a changed record, and saves it soon. @param {Api.CaseBody} record */
  change(record) {
    this.#waiting = record;
    if (this.#halted) return;
    this.#out.tell({ kind: "changed" });
    this.#soon(restMS);
  }

  /** Saves now what waits, in its turn; a failure is told and not thrown. */
  async flush() {
    try { await this.save(); } catch { /* told */ }
  }

  /** Saves a record, or what waits, after any save that runs. The error is that of the server. @param {Api.CaseBody} [record] @returns {Promise<Api.Case | undefined>} */
  async save(record) {
    this.#callOff();
    if (record) this.#waiting = record;
    while (this.#running) await this.#running.catch(() => {});
    if (!this.#waiting || this.#halted) return this.saved;
    const run = this.#send(this.#waiting);
    this.#running = run;
    try { return await run; } finally { if (this.#running === run) this.#running = null; }
  }

  /** No more saves by itself: the case is submitted, or the page left. */
  stop() { this.#callOff(); this.#halted = true; }

  /** The other way round. @param {Api.Case} [saved] the newer one that was chosen or overridden */
  goOn(saved = this.saved) { this.saved = saved; this.#halted = false; }

  /** @param {number} ms */
  #soon(ms) { this.#callOff(); this.#callOff = this.#out.later(() => { this.flush(); }, ms); }

  /** @param {Api.CaseBody} record @returns {Promise<Api.Case | undefined>} */
  async #send(record) {
    this.#waiting = null;
    this.#callOff();
    this.#out.tell({ kind: "saving" });
    try {
      await this.#put(record);
    } catch (error) {
      this.#waiting ??= record;
      this.#refused(/** @type {{status?: number}} */ (error));
      throw error;
    }
    if (this.#waiting) this.#soon(restMS);
    else this.#out.tell({ kind: "saved" });
    return this.saved;
  }

  /** Creates the case or replaces its record; a creation that may have arrived is repeated as it was before anything else.
   * @param {Api.CaseBody} record */
  async #put(record) {
    if (!this.saved) {
      this.#creating ??= { record, key: this.#out.newKey() };
      const asked = this.#creating;
      this.saved = (await this.#out.create(asked.record, asked.key)).case;
      this.#creating = null;
      if (JSON.stringify(asked.record) === JSON.stringify(record)) return;
    }
    this.saved = (await this.#out.replace(this.saved.id, record, this.saved.revision)).case;
  }

  /** @param {{status?: number}} error */
  #refused(error) {
    const status = error.status ?? -1;
    if (status > 0 && status < 500) this.#creating = null; // it did arrive, and the corrected form is another request
    if (status === 412) { this.stop(); return this.#out.tell({ kind: "stale", problem: error }); }
    if (status === 422) return this.#out.tell({ kind: "refused", problem: error }); // the next change may mend it
    this.#out.tell({ kind: status === 0 ? "offline" : "failed", problem: error });
    if (status === 0 || status >= 500) this.#soon(againMS);
  }
}
