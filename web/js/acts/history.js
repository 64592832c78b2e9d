// Undo and redo. A document is a value that is never changed; an act makes the next one from it.

/**
 * @template D
 * @typedef {{says: string, apply: (document: D) => D, merge?: string}} Act
 * `says` names the act for people ('add the roof line'); acts that follow each other with the same `merge` undo as one.
 */

/** @template D */
export class History {
  /** @param {D} now @param {{document: D, says: string}[]} [past] @param {{document: D, says: string}[]} [future] @param {string} [merge] */
  constructor(now, past = [], future = [], merge = "") {
    this.now = now;
    this.past = past;
    this.future = future;
    this.merge = merge;
  }

  /** The history after an act. An act that changes nothing leaves no trace. @param {Act<D>} act @returns {History<D>} */
  after(act) {
    const next = act.apply(this.now);
    if (next === this.now) return this;
    const merges = act.merge !== undefined && act.merge === this.merge && this.past.length > 0;
    const past = merges ? this.past : [...this.past, { document: this.now, says: act.says }];
    return new History(next, past, [], act.merge || "");
  }

  /** @returns {History<D>} */
  undone() {
    const last = this.past[this.past.length - 1];
    if (!last) return this;
    return new History(last.document, this.past.slice(0, -1), [{ document: this.now, says: last.says }, ...this.future]);
  }

  /** @returns {History<D>} */
  redone() {
    const next = this.future[0];
    if (!next) return this;
    return new History(next.document, [...this.past, { document: this.now, says: next.says }], this.future.slice(1));
  }

  /** What undo would take back, in words; empty when nothing. */
  get undoes() { return this.past[this.past.length - 1]?.says || ""; }

  /** What redo would do again, in words; empty when nothing. */
  get redoes() { return this.future[0]?.says || ""; }
}
