// A case that saves itself: one creation whatever the network does, then changes of the revision last seen.
import assert from "node:assert/strict";
import { test } from "node:test";
import { CaseSaver } from "../js/model/case-saver.js";

/** A server in which every answer can get lost. */
function bench() {
  const said = [], calls = [], timers = [], made = new Map();
  const server = { lose: false, revision: 0, status: 0 };
  const answer = () => {
    if (server.status) throw Object.assign(new Error("refused"), { status: server.status });
    if (server.lose) throw Object.assign(new Error("lost"), { status: 0 });
    return { case: { id: "c1", revision: server.revision } };
  };
  const saver = new CaseSaver({
    create: async (record, key) => {
      calls.push(["create", record.note, key]);
      if (!server.status && !made.has(key)) { made.set(key, record); server.revision = 1; }
      return answer();
    },
    replace: async (id, record, revision) => {
      calls.push(["replace", record.note, revision]);
      if (revision !== server.revision) throw Object.assign(new Error("stale"), { status: 412 });
      if (!server.status && !server.lose) server.revision++;
      return answer();
    },
    newKey: () => `key ${made.size}`, later: call => { timers.push(call); return () => { const at = timers.indexOf(call); if (at >= 0) timers.splice(at, 1); }; },
    tell: state => said.push(state.kind),
  });
  return { saver, server, said, calls, timers, made };
}

test("a creation whose answer got lost is repeated unchanged, then the change follows", async () => {
  const { saver, server, said, calls, made } = bench();
  server.lose = true;
  saver.change({ note: "one" });
  await saver.flush();
  assert.equal(said.at(-1), "offline");
  server.lose = false;
  saver.change({ note: "two" });
  await saver.flush();
  assert.deepEqual(calls, [["create", "one", "key 0"], ["create", "one", "key 0"], ["replace", "two", 1]]);
  assert.equal(made.size, 1);
  assert.equal(said.at(-1), "saved");
});

test("saves go one after another, and nothing is sent twice", async () => {
  const { saver, calls, timers } = bench();
  saver.change({ note: "one" });
  const first = saver.flush();
  saver.change({ note: "two" });
  await Promise.all([first, saver.save({ note: "three" })]);
  assert.deepEqual(calls.map(call => call[1]), ["one", "three"]);
  assert.equal(timers.length, 0);
  assert.equal(await saver.save(), saver.saved);
  assert.equal(calls.length, 2);
});

test("what was changed elsewhere halts it until the person has chosen", async () => {
  const { saver, server, said, calls } = bench();
  await saver.save({ note: "one" });
  server.revision = 7;
  await assert.rejects(saver.save({ note: "two" }));
  assert.equal(said.at(-1), "stale");
  saver.change({ note: "three" });
  await saver.flush();
  assert.equal(calls.length, 2, "halted");
  saver.goOn({ id: "c1", revision: 7 });
  await saver.save({ note: "three" });
  assert.deepEqual(calls.at(-1), ["replace", "three", 7]);
});

test("a refused creation makes no key for the corrected one", async () => {
  const { saver, server, said, calls } = bench();
  server.status = 422;
  await assert.rejects(saver.save({ note: "bad" }));
  assert.equal(said.at(-1), "refused");
  server.status = 0;
  await saver.save({ note: "good" });
  assert.deepEqual(calls.map(call => call[1]), ["bad", "good"]);
});
