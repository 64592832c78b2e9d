import assert from "node:assert/strict";
import { test } from "node:test";
import { behind, groupName, pacemakerWords, rhythmWords, shareWords } from "../js/model/outcomes.js";

/** @returns {any} */
const outcomes = () => ({
  month: 12, completeness: [{ month: 0 }, { month: 12, cases: ["a", "b"], missing: ["b"] }],
  by_scope: { groups: [{ id: "box", cases: ["a"], failed: ["c"], without: ["d"] }] }, by_pattern: { groups: [{ id: "long-standing-persistent", cases: ["e"] }] },
  pacemakers: { groups: [{ id: "biatrial", cases: ["f"], failed: ["g"] }] }, by_site: { rows: [{ id: "St. Elm", name: "St. Elm", cases: ["h"] }] }, by_supervisor: { rows: [] },
});

test("every figure's name leads to its cases", () => {
  for (const [of, title, ids] of /** @type {[string, string, string[]][]} */ ([
    ["freedom.scope.box", "Box: followed for arrhythmia", ["a"]], ["freedom.scope.box.failed", "Box: no longer free", ["c"]], ["freedom.scope.box.without", "Box: nothing known of the rhythm", ["d"]],
    ["freedom.pattern.long-standing-persistent", "Long-standing persistent AF: followed for arrhythmia", ["e"]], ["pacemaker.biatrial", "Biatrial: followed for a pacemaker", ["f"]],
    ["pacemaker.biatrial.failed", "Biatrial: with a pacemaker", ["g"]], ["units.site.St. Elm", "St. Elm: known at month 12", ["h"]], ["due.12", "Due for follow-up at month 12", ["a", "b"]],
    ["missing.12", "No follow-up on record at month 12", ["b"]], ["missing.0", "No follow-up on record at month 0", []], ["units.supervisor.x", "Nobody: known at month 12", []], ["", "No such figure", []],
  ])) assert.deepEqual(behind(outcomes(), of), { title, ids }, of);
});

test("what became of a case, in words", () => {
  assert.equal(rhythmWords({ known: false, month: 0 }), "nothing known of the rhythm");
  assert.equal(rhythmWords({ known: true, month: 12 }), "free up to month 12");
  assert.equal(rhythmWords({ known: true, event: "arrhythmia", month: 6, from: 3 }), "arrhythmia again, on record at month 6, no earlier than month 3");
  assert.equal(pacemakerWords({ known: true, event: "pacemaker", month: 0.986 }), "pacemaker by month 1");
  assert.equal(pacemakerWords({ known: true, month: 12 }), "");
  assert.equal(shareWords({ share: 0.623, low: 0.45, high: 0.771 }), "62\u00a0% (45 to 77)");
  assert.equal(groupName("paroxysmal", "pattern"), "Paroxysmal AF");
});
