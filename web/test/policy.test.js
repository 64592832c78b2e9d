import assert from "node:assert/strict";
import { test } from "node:test";
import { History } from "../js/acts/history.js";
import { changeList, leaveOut, moved, writePolicy } from "../js/acts/policy.js";
import { conditionWords, letterChanges, newRow, nextVersion, policyField, policyPath, sumOf, tabOf, withCondition, withTarget } from "../js/model/policy.js";

const policy = /** @type {Api.ScopePolicy} */ (/** @type {unknown} */ ({ id: "default", version: 2, title: "Default", weights: { scope: 35 }, caps: { findings: { gap: "B" } }, rows: [{ ...newRow(), id: "a" }, { ...newRow(), id: "b" }] }));

test("a programme's version has a name and a number of its own", () => {
  assert.deepEqual([nextVersion(policy, 0).id, nextVersion(policy, 0).version], ["our-scope-policy", 3]);
  assert.deepEqual([nextVersion({ ...policy, id: "ours" }, 7).id, nextVersion({ ...policy, id: "ours" }, 7).version], ["ours", 8]);
  nextVersion(policy, 0).rows[0].says = "changed";
  assert.equal(policy.rows[0].says, "");
});

test("a grade leads to the policy it used", () => {
  assert.equal(policyPath({ policy: "default", policy_version: 1 }), "/scope-policies/default?graded=1");
  assert.equal(policyPath({ policy: "ours", policy_version: 3 }), "/scope-policies/3");
});

test("conditions are read as a sentence, and an absent one holds", () => {
  assert.equal(conditionWords({}), "always");
  assert.equal(conditionWords({ patterns: ["persistent", "permanent"], left_atrium_opened: false, left_atrium_below_mm: 45 }), "persistent or permanent AF; the left atrium stays closed; left atrium below 45 mm");
  assert.deepEqual(withCondition({ thrombus: true, patterns: ["permanent"] }, "patterns", []), { thrombus: true });
  assert.deepEqual(withCondition({}, "thrombus", false), { thrombus: false });
});

test("a row has what its target needs", () => {
  const none = withTarget({ ...newRow(), also: ["biatrial"], may_decline: ["thrombus"] }, "none");
  assert.deepEqual([none.minimum, none.also, none.may_decline, none.reasons, none.cap_when_ablated], [undefined, undefined, undefined, [], "D"]);
  const again = withTarget(none, "box");
  assert.deepEqual([again.minimum, again.reasons, again.cap_when_ablated], ["box", undefined, undefined]);
});

test("rows move by one, and never off the list", () => {
  const history = new History(policy).after(changeList(["rows"], rows => moved(rows, 1, -1), "move the row up"));
  assert.deepEqual(history.now.rows.map(row => row.id), ["b", "a"]);
  assert.equal(history.after(changeList(["rows"], rows => moved(rows, 0, -1), "move")), history);
  assert.equal(history.after(writePolicy(["weights", "scope"], 30, "weight")).now.weights.scope, 30);
  assert.deepEqual(history.after(leaveOut(["caps", "findings", "gap"], "the cap")).now.caps.findings, {});
});

test("faults say where, and lead to their part", () => {
  assert.equal(policyField("rows[1].evidence[0].source", policy), "Row 2 (b), evidence 1, source");
  assert.equal(policyField("weights", policy), "Weights");
  assert.deepEqual(["rows[0].says", "deductions.gap", "caps.findings.gap", "caps.critical", "hazards[0]", "told.expect", "title"].map(tabOf), ["rows", "findings", "findings", "grade", "hazards", "told", "rows"]);
});

test("weights add up exactly", () => assert.equal(sumOf({ a: 33.3, b: 33.3, c: 33.4 }), 100));

test("letters that change come before scores", () => {
  const one = (/** @type {string} */ answer, /** @type {string} */ after) => ({ answer, before: { letter: "A", score: 95 }, after: { letter: after, score: 94 } });
  assert.deepEqual(letterChanges(/** @type {any[]} */ ([{ changed: [one("score", "A")] }, { changed: [one("letter", "B")] }])).map(each => each.answer), ["letter", "score"]);
});
