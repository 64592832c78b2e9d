// Which cases are behind which number of an assessor.
import assert from "node:assert/strict";
import { test } from "node:test";
import { casesOf } from "../js/model/assessors.js";

test("an assessor's lists", () => {
  const row = /** @type {Api.AssessorRow} */ (/** @type {unknown} */ ({ cases: ["a", "b"], late: { cases: ["b"] }, returned: {} }));
  assert.deepEqual([casesOf(row, "signed"), casesOf(row, "late"), casesOf(row, "returned")], [["a", "b"], ["b"], []]);
});
