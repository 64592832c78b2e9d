import assert from "node:assert/strict";
import { test } from "node:test";
import { Latest } from "../js/model/latest.js";

/** An answerer that answers when told, on a clock that goes when told. */
function outside() {
  /** @type {any} */
  const it = {
    time: 0, /** @type {any[]} */ asked: [], /** @type {any[]} */ told: [], /** @type {any[]} */ failed: [], /** @type {any} */ due: null,
    now: () => it.time,
    later: (/** @type {() => void} */ call, /** @type {number} */ ms) => { it.due = { call, at: it.time + ms }; return () => { it.due = null; }; },
    send: (/** @type {unknown} */ value, /** @type {AbortSignal} */ signal) => new Promise((answer, refuse) => {
      it.asked.push({ value, answer, refuse, at: it.time });
      signal.addEventListener("abort", () => { it.asked.find((/** @type {any} */ one) => one.value === value).aborted = true; refuse(new Error("aborted")); });
    }),
    tell: (/** @type {unknown} */ value, /** @type {unknown} */ answer) => it.told.push([value, answer]), fail: (/** @type {unknown} */ problem) => it.failed.push(problem),
    go: async (/** @type {number} */ ms) => {
      it.time += ms;
      if (it.due && it.due.at <= it.time) it.due.call();
      await new Promise(done => setImmediate(done));
    },
    values: () => it.asked.map((/** @type {any} */ one) => one.value),
  };
  return it;
}

test("the first is asked for at once, and of those that follow only the newest", async () => {
  const out = outside(), latest = new Latest(out);
  for (const value of [1, 2, 3]) latest.ask(value);
  assert.deepEqual(out.values(), [1]);
  out.asked[0].answer("one");
  await out.go(20);
  assert.deepEqual(out.told, [[1, "one"]]);
  assert.deepEqual(out.values(), [1], "not sooner than the least time after the last");
  await out.go(20);
  assert.deepEqual(out.values(), [1, 3]);
});

test("a late answer is not waited for when there is a newer question", async () => {
  const out = outside(), latest = new Latest(out);
  latest.ask(1);
  await out.go(100);
  latest.ask(2);
  await out.go(100);
  assert.deepEqual(out.values(), [1]);
  await out.go(60);
  assert.deepEqual(out.values(), [1, 2]);
  assert.equal(out.asked[0].aborted, true);
  assert.deepEqual(out.failed, [], "being given up is no failure");
});

test("a late answer is waited for when nothing newer is asked", async () => {
  const out = outside(), latest = new Latest(out);
  latest.ask(1);
  await out.go(5000);
  out.asked[0].answer("one");
  await out.go(0);
  assert.deepEqual(out.told, [[1, "one"]]);
});

test("a failure is told, and the next question goes out all the same", async () => {
  const out = outside(), latest = new Latest(out);
  latest.ask(1);
  latest.ask(2);
  out.asked[0].refuse("no network");
  await out.go(50);
  assert.deepEqual(out.failed, ["no network"]);
  assert.deepEqual(out.values(), [1, 2]);
});

test("stopping gives up what runs and what waits", async () => {
  const out = outside(), latest = new Latest(out);
  latest.ask(1);
  latest.ask(2);
  latest.stop();
  await out.go(1000);
  assert.deepEqual([out.values(), out.told, out.failed], [[1], [], []]);
});
