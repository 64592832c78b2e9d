// Quarters in words, and which cases are behind which number of an assessor.
import assert from "node:assert/strict";
import { test } from "node:test";
import { casesOf, quarterWords } from "../js/model/practice.js";

test("a quarter is written with a blank; a site keeps its name", () => assert.deepEqual([quarterWords("2026-Q1"), quarterWords("Main-site")], ["2026 Q1", "Main-site"]));

test("an assessor's lists", () => {
  const row = /** @type {Api.AssessorRow} */ (/** @type {unknown} */ ({ cases: ["a", "b"], late: { cases: ["b"] }, returned: {} }));
  assert.deepEqual([casesOf(row, "signed"), casesOf(row, "late"), casesOf(row, "returned")], [["a", "b"], ["b"], []]);
});
