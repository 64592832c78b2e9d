import assert from "node:assert/strict";
import test from "node:test";
import { ApiProblem } from "../js/lib/problem.js";
import { answered, firstOpen, moved, numberIn, quizName, sameGiven } from "../js/model/quiz.js";
import { QuizSaver } from "../js/model/quiz-saver.js";

/** A saver against a server of the test's own: revision and answers by place. */
function world() {
  const server = { revision: 1, given: {}, status: "open", down: false, lose: false };
  const view = () => ({ status: server.status, revision: server.revision, places: [1, 2, 3].map(place => ({ place, given: server.given[place] || {} })) });
  const told = [], timers = [];
  let kept = null;
  const saver = new QuizSaver({
    send: async (changes, revision) => {
      if (server.down) throw new ApiProblem(0, {});
      if (server.status !== "open") throw new ApiProblem(409, { type: "/problems/test-over" });
      if (revision !== server.revision) throw new ApiProblem(412, {});
      for (const one of changes) server.given[one.place] = one.given;
      server.revision++;
      if (server.lose) { server.lose = false; throw new ApiProblem(0, {}); }
      return view();
    },
    newest: async () => view(), keep: draft => { kept = draft; }, drop: () => { kept = null; },
    later: call => { timers.push(call); return () => {}; }, tell: state => { told.push(state); },
  }, 1);
  return { server, view, saver, told, last: () => told[told.length - 1], kept: () => kept };
}
const change = (place, label) => ({ place, given: { chosen: [label] }, ms: 10 });

test("answers given while one is saved go with the next save", async () => {
  const w = world();
  w.saver.change(change(1, "2"));
  const running = w.saver.flush();
  w.saver.change(change(1, "3"));
  await running;
  assert.equal(w.kept().changes[0].given.chosen[0], "3");
  await w.saver.flush();
  assert.deepEqual(w.server.given[1], { chosen: ["3"] });
  assert.equal(w.last().kind, "saved");
  assert.equal(w.kept(), null);
});

test("without a connection they are kept, and an answer that got lost is no conflict", async () => {
  const w = world();
  w.server.down = true;
  w.saver.change(change(1, "2"));
  await w.saver.flush();
  assert.equal(w.last().kind, "offline");
  assert.equal(w.kept().changes.length, 1);
  w.server.down = false;
  w.server.lose = true;
  await w.saver.flush();
  await w.saver.flush();
  assert.equal(w.last().kind, "saved");
  assert.equal(w.server.revision, 2);
});

test("newer answers elsewhere are never overwritten unasked", async () => {
  for (const mine of [true, false]) {
    const w = world();
    w.server.revision = 5;
    w.server.given[1] = { chosen: ["4"] };
    w.saver.change(change(1, "2"));
    await w.saver.flush();
    assert.equal(w.last().kind, "stale");
    w.saver.change(change(2, "1"));
    await w.saver.flush();
    assert.deepEqual(w.server.given[1], { chosen: ["4"] });
    await w.saver.settle(mine, w.view());
    assert.equal(w.last().kind, "saved");
    assert.deepEqual(w.server.given, mine ? { 1: { chosen: ["2"] }, 2: { chosen: ["1"] } } : { 1: { chosen: ["4"] } });
  }
});

test("what this device kept goes on, or asks when the server has newer answers", async () => {
  const w = world();
  w.saver.begin({ changes: [change(1, "2")], revision: 1 }, w.view());
  await w.saver.flush();
  assert.deepEqual(w.server.given[1], { chosen: ["2"] });
  const other = world();
  other.saver.begin({ changes: [change(1, "2")], revision: 0 }, other.view());
  assert.equal(other.last().kind, "stale");
});

test("once it is over nothing is sent any more", async () => {
  const w = world();
  w.server.status = "ended";
  w.saver.change(change(1, "2"));
  await w.saver.flush();
  assert.equal(w.last().kind, "over");
  assert.equal(w.kept(), null);
});

test("words and counts of a set", () => {
  assert.equal(quizName({ mode: "test", title: "af-mechanisms" }), "Test: AF mechanisms");
  assert.equal(quizName({ mode: "daily", title: "Daily set" }), "Daily set");
  assert.equal(quizName({ mode: "practice", title: "concomitant-surgery" }), "Practice: concomitant surgery");
  assert.deepEqual([answered({}), answered({ chosen: [] }), answered({ number: 0 }), answered({ chosen: ["1"] }), answered(undefined)], [false, false, true, true, false]);
  assert.deepEqual([numberIn("2,5"), numberIn(" -1 "), numberIn(""), numberIn("two")], [2.5, -1, undefined, undefined]);
  assert.deepEqual(moved(["1", "2", "3"], "3", -1), ["1", "3", "2"]);
  const order = ["1", "2"];
  assert.equal(moved(order, "1", -1), order);
  assert.ok(sameGiven({}, { chosen: [] }) && !sameGiven({ chosen: ["1", "2"] }, { chosen: ["2", "1"] }));
  assert.equal(firstOpen({ places: [{ place: 1, replied: true }, { place: 2, replied: false }] }), 2);
});
