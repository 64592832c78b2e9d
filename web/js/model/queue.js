// What was entered on this device and waits to be sent: kept until the server has it, sent in the order it was entered, never twice.

/**
 * One thing that waits. `base` is the revision it was made on, null for a new thing; `then` an act that follows once it is saved;
 * `edition` counts what the person made of it, so that an answer to an older one is not taken for this one.
 * @typedef {{id: string, kind: string, name: string, body: any, base: number | null, then: string, saved: boolean, edition: number, seq: number, made: string, tries: number,
 *   state: "waiting" | "refused" | "conflict", fault?: Fault, theirs?: Theirs}} Entry
 * @typedef {{status: number, title: string, says: string, fields: [field: string, says: string][]}} Fault
 * @typedef {{revision: number, body: any, done: boolean}} Theirs what the server has; done: the act that follows is done too
 */

/**
 * How a kind of thing is sent. `save` sends the content, `act` does what follows, `theirs` reads what the server has; all fail with an ApiProblem.
 * @typedef {{save: (entry: Entry) => Promise<Theirs>, act?: (entry: Entry, revision: number) => Promise<Theirs>, theirs: (entry: Entry) => Promise<Theirs>}} Kind
 */

/**
 * Where entries are kept. `change` reads the entry and writes what it is turned into, undefined deleting it, in one go: two windows may be at work.
 * @typedef {{all: () => Promise<Entry[]>, change: (id: string, turn: (before: Entry | undefined, last: number) => Entry | undefined) => Promise<Entry | undefined>}} Rows
 */

/** @typedef {{id: string, kind: string, name: string, body: unknown, base?: number | null, then?: string}} Wish */
/** @typedef {{kind: "sent", theirs: Theirs} | {kind: "refused" | "conflict", entry: Entry} | {kind: "waiting"} | {kind: "gone"}} Outcome */

/** Server errors after which an entry lets the others pass, in tries. */
const mostTries = 5;

/** The waits between two tries, in ms: the last one goes on. */
const waits = [2000, 4000, 8000, 15000, 30000, 60000];

/** @param {number} failures in a row, from 1 */
export const waitMS = failures => waits[Math.min(failures, waits.length) - 1];

/** The entry after a person entered or changed it. What is in the queue already keeps its place, and the
 * newest revision is what it was made on: of what a page knows, and what the queue has heard since.
 * @param {Entry | undefined} before @param {Wish} wish @param {number} last the highest place taken @param {string} now @returns {Entry} */
export function entered(before, wish, last, now) {
  return {
    id: wish.id, kind: wish.kind, name: wish.name, body: wish.body, then: wish.then || "", state: "waiting", saved: false, tries: 0, made: now,
    base: newest(wish.base, before?.base), edition: (before?.edition || 0) + 1, seq: before?.seq ?? last + 1,
  };
}

/** @param {(number | null | undefined)[]} revisions */
const newest = (...revisions) => { const known = revisions.filter(one => typeof one === "number"); return known.length > 0 ? Math.max(...known) : null; };

/** What a failed try means for the queue: away stops it until later, out until somebody signs in; the others are this entry's own.
 * @param {{status?: number}} problem @param {number} tries @returns {"away" | "out" | "conflict" | "refused"} */
export function verdict({ status = 0 }, tries) {
  if (status === 401) return "out";
  if (status === 0 || status === 408 || status === 429 || (status >= 502 && status <= 504)) return "away";
  if (status >= 500) return tries < mostTries ? "away" : "refused";
  return status === 409 || status === 412 ? "conflict" : "refused";
}

/** Whether two contents say the same: order of keys, and fields that are left out where empty, do not matter. @param {unknown} a @param {unknown} b */
export const same = (a, b) => JSON.stringify(plain(a)) === JSON.stringify(plain(b));

/** @param {any} value @returns {any} */
function plain(value) {
  if (Array.isArray(value)) return value.length === 0 ? undefined : value.map(plain);
  if (value === "" || value === 0 || value === false || value === null) return undefined;
  if (typeof value === "string") return value.trim();
  if (typeof value !== "object") return value;
  const pairs = Object.keys(value).sort().map(key => [key, plain(value[key])]).filter(([, item]) => item !== undefined);
  return pairs.length === 0 ? undefined : Object.fromEntries(pairs);
}

/** @typedef {{rows: Rows, kinds: Record<string, Kind>, later: (call: () => void, ms: number) => () => void, tell: () => void, now: () => string,
 *   alone: <T>(act: () => Promise<T>) => Promise<T>, faultOf: (problem: any) => Fault}} Outside alone: one window at a time */

export class Queue {
  /** @type {Outside} */ #out;
  /** @type {Promise<void> | null} */ #running = null;
  /** @type {Map<string, ((outcome: Outcome) => void)[]>} */ #asked = new Map();
  /** @type {Promise<void> | null} a run that begins when this one ends */ #after = null;
  #failures = 0;
  #stopped = false;
  #callOff = () => {};

  /** The entry that is on its way, for who shows the queue. */
  sending = "";

  /** @param {Outside} outside */
  constructor(outside) { this.#out = outside; }

  /** Keeps a thing, then sends what waits. Gives once it is kept; `outcome` gives what became of the try. @param {Wish} wish */
  async enter(wish) {
    const entry = /** @type {Entry} */ (await this.#out.rows.change(wish.id, (before, last) => entered(before, wish, last, this.#out.now())));
    const outcome = new Promise(/** @param {(outcome: Outcome) => void} tell */ tell => this.#asked.set(wish.id, [...(this.#asked.get(wish.id) || []), tell]));
    this.#out.tell();
    this.send();
    return { entry, outcome };
  }

  /** Takes an entry out: the person gives it up, or goes on with it elsewhere. @param {string} id */
  async drop(id) {
    await this.#out.rows.change(id, () => undefined);
    this.#answer(id, { kind: "gone" });
    this.#out.tell();
  }

  /** Tries an entry again that was refused. @param {string} id */
  async retry(id) {
    await this.#out.rows.change(id, before => before && { ...before, state: "waiting", tries: 0, fault: undefined, theirs: undefined });
    this.#out.tell();
    return this.send();
  }

  /** Decides a conflict: this content goes on top of what the server has. @param {string} id @param {any} body */
  async settle(id, body) {
    await this.#out.rows.change(id, before => before && {
      ...before, body, base: before.theirs?.revision ?? before.base, edition: before.edition + 1, state: "waiting", saved: false, tries: 0, fault: undefined, theirs: undefined,
    });
    this.#out.tell();
    return this.send();
  }

  /** Sends what waits, now. While it runs already, once more after it. Gives when that is through. @returns {Promise<void>} */
  send() {
    this.#callOff();
    if (this.#stopped) return Promise.resolve();
    if (this.#running) {
      this.#after ??= this.#running.then(() => { this.#after = null; return this.send(); });
      return this.#after;
    }
    this.#running = this.#out.alone(() => this.#sendAll()).catch(() => {}).finally(() => { // without its database the browser sends nothing
      this.#running = null;
      this.sending = "";
      this.#out.tell();
    });
    return this.#running;
  }

  /** No more tries: the person leaves, or works elsewhere. */
  stop() {
    this.#stopped = true;
    this.#callOff();
  }

  async #sendAll() {
    for (let entry = await this.#next(); entry && !this.#stopped; entry = await this.#next()) {
      this.sending = entry.id;
      this.#out.tell();
      const goesOn = await this.#sendOne(entry);
      this.#out.tell();
      if (goesOn) continue;
      for (const id of this.#asked.keys()) this.#answer(id, { kind: "waiting" });
      return;
    }
  }

  /** The entry whose turn it is. */
  async #next() {
    const waiting = (await this.#out.rows.all()).filter(one => one.state === "waiting").sort((a, b) => a.seq - b.seq);
    return waiting.find(one => this.#out.kinds[one.kind]); // a kind of a newer build waits for that build
  }

  /** Whether the next one may go. @param {Entry} entry */
  async #sendOne(entry) {
    const kind = this.#out.kinds[entry.kind];
    try {
      let theirs = entry.saved ? { revision: entry.base || 0, body: entry.body, done: false } : await kind.save(entry);
      this.#failures = 0;
      if (!same(theirs.body, entry.body)) return this.#mark(entry, { state: "conflict", theirs }); // it was changed since an earlier try of ours
      if (entry.then && !theirs.done && kind.act) {
        if (!await this.#keepSaved(entry, theirs.revision)) return true;
        theirs = await kind.act(entry, theirs.revision);
      }
      await this.#done(entry, theirs);
      return true;
    } catch (error) {
      return this.#failed(entry, kind, error);
    }
  }

  /** @param {Entry} entry @param {Kind} kind @param {any} error @returns {Promise<boolean>} */
  async #failed(entry, kind, error) {
    const means = verdict(error, entry.tries + 1);
    if (means === "conflict") return this.#compare(entry, kind, error);
    if (means === "refused") return this.#mark(entry, { state: "refused", fault: this.#out.faultOf(error) });
    this.#failures++;
    await this.#change(entry, { tries: error.status >= 500 ? entry.tries + 1 : entry.tries });
    if (means === "away") this.#callOff = this.#out.later(() => { this.send(); }, error.retryAfter ? error.retryAfter * 1000 : waitMS(this.#failures));
    return false;
  }

  /** Finds out whether a clash is one: it may be with an earlier try of ours, whose answer was lost. @param {Entry} entry @param {Kind} kind @param {any} error @returns {Promise<boolean>} */
  async #compare(entry, kind, error) {
    const fault = this.#out.faultOf(error);
    try {
      const theirs = await kind.theirs(entry), ours = same(theirs.body, entry.body);
      if (ours && (theirs.done || !entry.then)) { await this.#done(entry, theirs); return true; }
      if (ours && (!entry.saved || theirs.revision !== entry.base)) { await this.#keepSaved(entry, theirs.revision); return true; }
      return this.#mark(entry, { state: "conflict", theirs, fault });
    } catch (problem) {
      const means = verdict(/** @type {any} */ (problem), entry.tries + 1);
      return means === "away" || means === "out" ? this.#failed(entry, kind, problem) : this.#mark(entry, { state: "refused", fault });
    }
  }

  /** @param {Entry} entry @param {Theirs} theirs */
  async #done(entry, theirs) {
    const left = await this.#out.rows.change(entry.id, now => (now && now.edition !== entry.edition ? { ...now, base: theirs.revision } : undefined));
    if (!left) this.#answer(entry.id, { kind: "sent", theirs }); // else it was changed while it was on its way, and goes again
  }

  /** Notes that the content is on the server and only what follows is left. @param {Entry} entry @param {number} revision */
  #keepSaved(entry, revision) {
    return this.#out.rows.change(entry.id, now => now && (now.edition === entry.edition ? { ...now, saved: true, base: revision } : { ...now, base: revision }))
      .then(now => now?.edition === entry.edition);
  }

  /** Leaves an entry to the person; the others go on. @param {Entry} entry @param {Partial<Entry>} what */
  async #mark(entry, what) {
    const now = await this.#change(entry, what);
    if (now?.edition === entry.edition) this.#answer(entry.id, { kind: now.state === "conflict" ? "conflict" : "refused", entry: now });
    return true;
  }

  /** @param {Entry} entry @param {Partial<Entry>} what */
  #change(entry, what) {
    return this.#out.rows.change(entry.id, now => now && (now.edition === entry.edition ? { ...now, ...what } : now));
  }

  /** @param {string} id @param {Outcome} outcome */
  #answer(id, outcome) {
    for (const tell of this.#asked.get(id) || []) tell(outcome);
    this.#asked.delete(id);
  }
}
