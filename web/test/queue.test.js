import assert from "node:assert/strict";
import { test } from "node:test";
import { uuid7 } from "../js/lib/uuid.js";
import { differencesOf } from "../js/model/queue-difference.js";
import { entered, Queue, same, verdict, waitMS } from "../js/model/queue.js";

/** @typedef {import("../js/model/queue.js").Entry} Entry */

/** A queue with a server that answers as the script says: for each call, what it does. */
function world(script = []) {
  /** @type {Map<string, Entry>} */
  const kept = new Map();
  const stored = new Map(); // the server's things: {revision, body, done}
  const calls = /** @type {string[]} */ ([]), later = /** @type {{call: () => void, ms: number}[]} */ ([]);
  const answer = async (/** @type {string} */ call, /** @type {() => any} */ act) => {
    calls.push(call);
    const says = script.shift() ?? "ok";
    if (says === "lost") { await act(); throw { status: 0 }; } // it arrived, and the answer did not
    if (typeof says === "number") throw { status: says };
    if (typeof says === "function") await says();
    return act();
  };
  const own = (/** @type {Entry} */ { id, body, base }) => {
    const there = stored.get(id);
    if (base === null && there) { if (there.revision === 1 && !same(there.body, body)) throw { status: 409 }; return { ...there }; }
    if (base !== null && there?.revision !== base) throw { status: 412 };
    stored.set(id, { revision: (base || 0) + 1, body: structuredClone(body), done: false });
    return { ...stored.get(id) };
  };
  const kind = {
    save: (/** @type {Entry} */ entry) => answer(`save ${entry.body.n}`, () => own(entry)),
    act: (/** @type {Entry} */ entry, /** @type {number} */ revision) => answer(`act ${entry.body.n}`, () => {
      const there = stored.get(entry.id);
      if (there.done) throw { status: 409 };
      if (there.revision !== revision) throw { status: 412 };
      stored.set(entry.id, { revision: revision + 1, body: there.body, done: true });
      return { ...stored.get(entry.id) };
    }),
    theirs: (/** @type {Entry} */ entry) => answer(`read ${entry.body.n}`, () => ({ ...stored.get(entry.id) })),
  };
  const open = () => new Queue({
    kinds: { thing: kind }, now: () => "2026-06-01T09:00:00.000Z", tell() {}, alone: act => act(), faultOf: error => ({ status: error.status, title: "t", says: "s", fields: [] }),
    later: (call, ms) => { later.push({ call, ms }); return () => {}; },
    rows: {
      all: async () => structuredClone([...kept.values()]),
      change: async (id, turn) => {
        const after = turn(kept.get(id), Math.max(0, ...[...kept.values()].map(one => one.seq)));
        if (after) kept.set(id, structuredClone(after)); else kept.delete(id);
        return after;
      },
    },
  });
  return { kept, stored, calls, later, open, queue: open() };
}

const wish = (/** @type {number} */ n, more = {}) => ({ id: `id-${n}`, kind: "thing", name: "", body: { n }, ...more });

test("what is entered is sent in order and leaves the queue", async () => {
  const w = world();
  const sent = await Promise.all([1, 2, 3].map(async n => (await (await w.queue.enter(wish(n))).outcome).kind));
  await w.queue.send();
  assert.deepEqual(sent, ["sent", "sent", "sent"]);
  assert.deepEqual(w.calls, ["save 1", "save 2", "save 3"]);
  assert.equal(w.kept.size, 0);
});

test("a lost network stops the queue, keeps the order and tries again later, ever less often", async () => {
  const w = world([0, 0, 503]);
  const { outcome } = await w.queue.enter(wish(1));
  assert.equal((await outcome).kind, "waiting");
  await (await w.queue.enter(wish(2))).outcome;
  await w.queue.send();
  assert.deepEqual(w.calls, ["save 1", "save 1", "save 1"]);
  assert.deepEqual(w.later.map(one => one.ms), [2000, 4000, 8000]);
  assert.equal(waitMS(50), 60000);
  w.later[2].call();
  await w.queue.send();
  assert.deepEqual(w.calls.slice(3), ["save 1", "save 2"]);
  assert.equal(w.kept.size, 0);
});

test("a lost answer makes no second thing, after a reload either", async () => {
  const w = world(["lost"]);
  await (await w.queue.enter(wish(1, { then: "submit" }))).outcome;
  assert.equal(w.kept.size, 1);
  await w.open().send(); // as after a reload
  assert.deepEqual(w.calls, ["save 1", "save 1", "act 1"]);
  assert.deepEqual([...w.stored.values()].map(one => [one.revision, one.done]), [[2, true]]);
  assert.equal(w.kept.size, 0);
});

test("a lost answer to the act that follows is found out", async () => {
  const w = world(["ok", "lost"]);
  await (await w.queue.enter(wish(1, { then: "submit" }))).outcome;
  assert.equal(w.kept.get("id-1")?.saved, true);
  await w.queue.send();
  assert.deepEqual(w.calls, ["save 1", "act 1", "act 1", "read 1"]);
  assert.equal(w.stored.get("id-1").revision, 2);
  assert.equal(w.kept.size, 0);
});

test("a lost answer to a change is no conflict", async () => {
  const w = world(["lost"]);
  w.stored.set("id-1", { revision: 4, body: { n: 0 }, done: false });
  await (await w.queue.enter(wish(1, { base: 4 }))).outcome;
  await w.queue.send();
  assert.deepEqual(w.calls, ["save 1", "save 1", "read 1"]);
  assert.equal(w.stored.get("id-1").revision, 5);
  assert.equal(w.kept.size, 0);
});

test("a clash that cannot be looked into yet is none yet", async () => {
  const w = world(["ok", "lost", "ok", 0]);
  await (await w.queue.enter(wish(1, { then: "submit" }))).outcome;
  await w.queue.send();
  assert.equal(w.kept.get("id-1")?.state, "waiting");
  await w.queue.send();
  assert.deepEqual(w.calls, ["save 1", "act 1", "act 1", "read 1", "act 1", "read 1"]);
  assert.equal(w.kept.size, 0);
});

test("what was changed elsewhere waits for the person, and what they choose goes on top", async () => {
  const w = world();
  w.stored.set("id-1", { revision: 5, body: { n: 9 }, done: false });
  const { outcome } = await w.queue.enter(wish(1, { base: 4 }));
  const says = /** @type {any} */ (await outcome);
  assert.equal(says.kind, "conflict");
  assert.deepEqual(says.entry.theirs, { revision: 5, body: { n: 9 }, done: false });
  await w.queue.send();
  assert.equal(w.stored.get("id-1").body.n, 9, "nothing is merged silently");
  await w.queue.settle("id-1", { n: 1 });
  assert.deepEqual(w.stored.get("id-1"), { revision: 6, body: { n: 1 }, done: false });
  assert.equal(w.kept.size, 0);
});

test("a new thing whose id came back with other content is a conflict too", async () => {
  const w = world();
  w.stored.set("id-1", { revision: 3, body: { n: 7 }, done: false });
  assert.equal((await (await w.queue.enter(wish(1))).outcome).kind, "conflict");
});

test("a refused thing lets the others pass, and is tried again when it is corrected", async () => {
  const w = world([422]);
  const refused = await w.queue.enter(wish(1)), next = await w.queue.enter(wish(2));
  assert.equal((await refused.outcome).kind, "refused");
  assert.equal((await next.outcome).kind, "sent");
  assert.equal(w.kept.get("id-1")?.state, "refused");
  assert.equal((await (await w.queue.enter({ ...wish(1), body: { n: 11 } })).outcome).kind, "sent");
  assert.equal(w.stored.get("id-1").body.n, 11);
});

test("a thing changed while it is on its way is sent as it was, then as it is", async () => {
  const w = world([() => w.queue.enter({ ...wish(1), body: { n: 2 } })]);
  await w.queue.enter(wish(1));
  await w.queue.send();
  await w.queue.send();
  assert.deepEqual(w.stored.get("id-1"), { revision: 2, body: { n: 2 }, done: false });
  assert.equal(w.kept.size, 0);
});

test("an ended session keeps everything and asks no more", async () => {
  const w = world([401]);
  await (await w.queue.enter(wish(1))).outcome;
  assert.equal(w.later.length, 0);
  assert.equal(w.kept.get("id-1")?.state, "waiting");
});

test("a server that fails on one thing for good does not hold up the others", async () => {
  const w = world([500, 500, 500, 500, 500]);
  await (await w.queue.enter(wish(1))).outcome;
  await w.queue.enter(wish(2));
  for (let i = 0; i < 5; i++) await w.queue.send();
  assert.equal(w.kept.get("id-1")?.state, "refused");
  assert.equal(w.stored.get("id-2").body.n, 2);
});

test("a kind this build does not know waits for the build that does", async () => {
  const w = world();
  await w.queue.enter({ ...wish(1), kind: "later" });
  assert.equal((await (await w.queue.enter(wish(2))).outcome).kind, "sent");
  assert.equal(w.kept.get("id-1")?.state, "waiting");
});

test("100 things over a network that drops at random, with reloads: each once, in order", async () => {
  let seed = 7;
  const random = () => { seed = (seed * 1103515245 + 12345) % 2147483648; return seed / 2147483648; };
  const w = world(Array.from({ length: 500 }, () => (random() < 0.3 ? 0 : random() < 0.5 ? "lost" : "ok")));
  let queue = w.queue;
  for (let n = 1; n <= 100; n++) {
    await (await queue.enter(wish(n, { then: n % 2 ? "submit" : "" }))).outcome;
    if (random() < 0.1) { queue.stop(); queue = w.open(); }
  }
  for (let i = 0; i < 600 && w.kept.size > 0; i++) await queue.send();
  assert.deepEqual([...w.stored.values()].map(one => one.body.n), Array.from({ length: 100 }, (_, i) => i + 1));
  assert.ok([...w.stored.values()].every(one => one.revision === (one.body.n % 2 ? 2 : 1) && one.done === Boolean(one.body.n % 2)));
});

test("what failed calls mean", () => {
  assert.deepEqual([0, 408, 429, 502, 503, 504, 500].map(status => verdict({ status }, 1)), Array(7).fill("away"));
  assert.deepEqual([401, 409, 412, 400, 403, 404, 422].map(status => verdict({ status }, 1)), ["out", "conflict", "conflict", "refused", "refused", "refused", "refused"]);
  assert.equal(verdict({ status: 500 }, 5), "refused");
  assert.equal(verdict({}, 1), "away");
});

test("entering again keeps the place and the base", () => {
  const first = entered(undefined, wish(1, { base: 3 }), 4, "a"), again = entered({ ...first, base: 5, state: "refused" }, wish(1), 9, "b");
  assert.deepEqual([first.seq, first.base, first.edition], [5, 3, 1]);
  assert.deepEqual([again.seq, again.base, again.edition, again.state], [5, 5, 2, "waiting"]);
});

test("contents are the same whatever the order of their keys, and where what is empty is left out", () => {
  assert.ok(same({ a: 1, b: [{ x: "y ", z: 0 }], c: "" }, { b: [{ x: "y" }], a: 1, d: [] }));
  assert.ok(!same({ a: [1, 2] }, { a: [2, 1] }));
  assert.ok(!same({ a: true }, {}));
});

test("differences are named by their field", () => {
  assert.deepEqual(differencesOf({ record: { on_bypass: true, events: ["death"], lesions: [{ lesion: "roof-line" }] } }, { record: { on_bypass: false, events: [], lesions: [{ lesion: "roof-line" }] } }),
    [{ what: "On bypass", mine: "yes", theirs: "no" }, { what: "Events", mine: "death", theirs: "-" }]);
  assert.deepEqual(differencesOf({ a: 1 }, { a: 1 }), []);
});

test("identifiers made here sort by time", () => {
  const one = uuid7(1767225600000), two = uuid7(1767225600001);
  assert.match(one, /^019b76da-a800-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
  assert.ok(one < two);
});
