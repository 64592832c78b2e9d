import assert from "node:assert/strict";
import { test } from "node:test";
import { viewingWords } from "../js/model/viewing.js";
import { sentTerm } from "../js/model/terms.js";

test("what a reviewer may see is said in words", () => {
  const two = [{ id: "a", name: "Ada" }, { id: "b", name: "Bo" }];
  assert.equal(viewingWords({ trainees: two, ended: false }), "the records of Ada and Bo");
  assert.equal(viewingWords({ trainees: [], figures: "counts", ended: false }), "the cohort's figures without names");
  assert.match(viewingWords({ trainees: two, figures: "rows", ended: false }), /^the records of Ada and Bo and the cohort's figures/);
});

test("only a reviewer's role is sent with what is seen", () => {
  const viewing = { trainees: ["a"], figures: "" };
  assert.equal(sentTerm({ role: "faculty", from: "", until: "", viewing }).viewing, undefined);
  assert.deepEqual(sentTerm({ role: "reviewer", from: "", until: "2026-07-01", viewing }).viewing, { trainees: ["a"], figures: undefined });
});
