import assert from "node:assert/strict";
import { test } from "node:test";
import { ApiProblem } from "../js/lib/problem.js";
import { needed, reasonFor, reasonsAmiss, stoppedIn, without, withReason } from "../js/model/kept-words.js";

const excerpt = "patient Left Atrium";
const message = `"${excerpt}": looks like a person's name: leave it out; if it names no patient, keep it and say why (overrides)`;
const refused = new ApiProblem(422, { errors: [{ location: "body.record.note", message, kind: "name", excerpt, keepable: true },
  { location: "body.record.site", message: "is no site" }, { location: "body.record.note", message: '"MRN 0048213": a number', kind: "record-number", excerpt: "MRN 0048213" }] });

test("a refusal says what was stopped, and what of it can be kept", () => {
  const [name, number, ...more] = stoppedIn(refused);
  assert.deepEqual(name, { field: "record.note", kind: "name", excerpt, says: "looks like a person's name: leave it out", keepable: true });
  assert.equal(number.keepable, false);
  assert.equal(more.length, 0);
  assert.deepEqual(stoppedIn(new TypeError("x")), []);
});

test("what is wrong with a reason is said", () => {
  assert.deepEqual(reasonsAmiss(new ApiProblem(422, { errors: [{ location: "body.overrides[0].reason", message: "must be longer" }, { location: "body.reason", message: "x" }] })), ["Must be longer"]);
});

test("a reason is kept for exactly these words, and sent while they are there", () => {
  const [name, number] = stoppedIn(refused);
  let overrides = withReason([], name, "");
  assert.equal(reasonFor(overrides, name), "");
  assert.equal(reasonFor(overrides, number), undefined);
  overrides = withReason(overrides, name, " names the chamber ");
  assert.deepEqual(needed(overrides, { "record.note": `In this ${excerpt}.` }), [{ field: "record.note", kind: "name", excerpt, reason: "names the chamber" }]);
  assert.deepEqual(needed(overrides, { "record.note": "In this one.", keep: excerpt }), []);
});

test("leaving words out closes the gap", () => {
  assert.equal(without("In this patient Left Atrium, thin.", excerpt), "In this, thin.");
  assert.equal(without(excerpt, excerpt), "");
});
