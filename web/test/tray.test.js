// The tray and the statement as it begins and is sent.
import assert from "node:assert/strict";
import { test } from "node:test";
import { ApiProblem } from "../js/lib/problem.js";
import { asSent, eventWords, firstStatement, unanswered } from "../js/model/statement.js";
import { signEach } from "../js/model/tray.js";

const prepared = /** @type {any[]} */ (["a", "b", "c"].map(id => ({ case: id, revision: 2, version: 1, title: id, trainee_name: "Ines", operated_on: "2026-03-02", body: {} })));
const failing = (/** @type {Record<string, ApiProblem>} */ faults) => (/** @type {any} */ one) => (faults[one.case] ? Promise.reject(faults[one.case]) : Promise.resolve());

test("one stale and one refused case do not stop the others", async () => {
  const { results, stopped } = await signEach(prepared, failing({
    a: new ApiProblem(412, { title: "Changed", changed: /** @type {any} */ ({ act: "case.edit", by_name: "Ines", at: "2026-03-03T10:00:00Z" }) }),
    b: new ApiProblem(422, { title: "Not valid", errors: [{ location: "body.keep", message: "must be 3 to 500 characters" }] }),
  }));
  assert.deepEqual(results.map(one => one.kind), ["stale", "refused", "signed"]);
  assert.match(results[0].title, /Ines changed the record meanwhile/);
  assert.match(results[1].says, /Must be 3 to 500 characters/);
  assert.equal(stopped, undefined);
});

test("what is about the signer or the network leaves the rest in the tray", async () => {
  for (const problem of [new ApiProblem(403, { type: "/problems/proof-needed" }), new ApiProblem(0, {}), new ApiProblem(401, {})]) {
    const told = /** @type {string[]} */ ([]);
    const { results, stopped } = await signEach(prepared, failing({ b: problem }), one => told.push(one.kind));
    assert.deepEqual(results.map(one => one.kind), ["signed", "left", "left"]);
    assert.deepEqual(told, ["signed", "left", "left"]);
    assert.equal(stopped, problem);
  }
});

const seen = { steps: [], help_given: 4, supervision_next: 3, complications_agreed: true, keep: " calm ", change: "slower" };

test("events are sent only where they are not the trainee's", () => {
  assert.deepEqual(asSent({ ...seen, events: ["stroke"] }), { ...seen, keep: "calm" });
  assert.deepEqual(asSent({ ...seen, complications_agreed: false }).events, []);
  assert.deepEqual(unanswered({ ...seen, complications_agreed: false, events: [] }, []).map(line => line.field), ["events"]);
  assert.deepEqual(unanswered({ ...seen, complications_agreed: false, events: [] }, ["stroke"]), []);
  const name = (/** @type {string} */ event) => event;
  assert.deepEqual([seen, { ...seen, complications_agreed: false }, { ...seen, complications_agreed: false, events: [] }, { ...seen, complications_agreed: false, events: ["stroke"] }]
    .map(one => eventWords(one, name)), ["agreed", "not agreed", "corrected to none", "corrected to stroke"]);
});

test("events the trainee took over in an amendment are agreed", () => {
  const detail = (/** @type {string[]} */ events) => /** @type {any} */ ({
    case: { signed_version: 1, record: { steps: [], events } }, sign_offs: [{ case_version: 1, statement: { ...seen, complications_agreed: false, events: ["stroke"] } }],
  });
  assert.equal(firstStatement(detail(["stroke"])).complications_agreed, true);
  assert.equal(firstStatement(detail(["stroke"])).events, undefined);
  assert.deepEqual(firstStatement(detail([])).events, ["stroke"]);
});
