import assert from "node:assert/strict";
import { test } from "node:test";
import { cutWords, shifted, testFacts } from "../js/model/own-test.js";

test("a passing mark says where it comes from", () => {
  assert.equal(cutWords({ percent: 70, from: "example" }), "Passing mark 70 %: an example, no panel has set it.");
  assert.equal(cutWords({ percent: 61.96, from: "angoff", panel: "p", judges: 4, se: 2.04 }), "Passing mark 62 %, set by a panel of 4 (modified Angoff), standard error 2 points.");
  assert.match(cutWords({ percent: 62, from: "angoff", judges: 1 }), /no standard error can be said of one judge/);
  assert.equal(cutWords({ percent: 55, from: "hofstee", judges: 3 }), "Passing mark 55 %, set by a panel of 3 (Hofstee).");
  assert.match(cutWords({ percent: 62, from: "angoff", judges: 2, se: 1, drawn: true }), /of the questions drawn\.$/);
});

test("facts and moves", () => {
  assert.equal(testFacts({ items: 1, minutes: 20, fixed: true, negative: true }), "1 question, 20 minutes, a fixed form, wrong answers cost points");
  assert.deepEqual(shifted(["a", "b", "c"], 0, 1), ["b", "a", "c"]);
  assert.deepEqual(shifted(["a", "b"], 0, -1), ["a", "b"]);
});
