import assert from "node:assert/strict";
import { test } from "node:test";
import { inOrder, matching, nextStep, waitsForMe, whyNot } from "../js/model/edition.js";
import { numbered } from "../js/model/file-lines.js";
import { Atrium } from "../js/model/atrium.js";
import { valueWords } from "../js/model/scenario-words.js";

/** @param {Partial<Api.Edition>} change */
const head = change => /** @type {Api.Edition} */ ({ id: "one", title: "One", status: "live", version: 1, live_version: 1, authors: [], author_name: "", revision: 0, operation: "mitral", source: "starter", may: ["revise", "retire"], ...change });
const review = { status: "in-review", authors: ["a"], may: ["return", "approve"] };

test("what waits for my review comes first, then my drafts, then by title", () => {
  const heads = [head({ id: "z", title: "Z" }), head({ id: "live", title: "A" }), head({ id: "mine", status: "draft", authors: ["me"], may: ["edit"] }), head({ id: "other", status: "draft", authors: ["a"], may: ["edit"] }),
    head({ id: "own-review", ...review, authors: ["me"], may: ["return"] }), head({ id: "review", ...review }), head({ id: "gone", status: "retired" })];
  assert.deepEqual(inOrder(heads, "me").map(one => one.id), ["review", "mine", "own-review", "other", "live", "z", "gone"]);
  assert.equal(heads.filter(one => waitsForMe(one, "me")).length, 1);
});

test("each says what one does next with it", () => {
  assert.equal(nextStep(head(review), "me"), "Review it");
  assert.equal(nextStep(head({ ...review, may: ["return"] }), "a"), "Waits for another's review");
  assert.equal(nextStep(head({ status: "draft", authors: ["me"], may: ["edit"] }), "me"), "Go on writing");
  assert.equal(nextStep(head({}), "me"), "Read or revise");
  assert.equal(nextStep(head({ may: [] }), "me"), "Read");
});

test("an act that is not to be done says why", () => {
  assert.match(whyNot(head(review), "approve", "a"), /wrote in this version/);
  assert.equal(whyNot(head(review), "approve", "me"), "");
  assert.equal(whyNot(head({ may: [] }), "retire", "me"), "Not for your role.");
});

test("the list is found by status and by every word", () => {
  const heads = [head({ id: "a", title: "The pilot", pattern: "long-standing-persistent" }), head({ id: "b", status: "draft", title: "The baker" })];
  assert.deepEqual(matching(heads, "", "standing PILOT").map(one => one.id), ["a"]);
  assert.deepEqual(matching(heads, "draft", "").map(one => one.id), ["b"]);
  assert.deepEqual(matching(heads, "draft", "pilot"), []);
});

test("faults stand at their lines, those without a line first", () => {
  const faults = [{ field: "b", line: 2, message: "m" }, { field: "", message: "whole" }, { field: "c", line: 2, message: "n" }];
  assert.deepEqual(numbered("one\ntwo", faults).map(one => [one.number, one.text, one.faults.length]), [[0, "", 1], [2, "two", 2]]);
});

test("values of a scenario are said in words", () => {
  const atrium = new Atrium(/** @type {any} */ ({ chambers: [], lesions: [{ id: "roof-line", name: "Roof line" }], energies: [{ id: "cryo", name: "Cryothermy" }], block_tests: [], operations: [{ id: "mitral", name: "Mitral valve" }] }));
  assert.deepEqual(valueWords("patient.left_atrium_mm", 52, atrium), ["52 mm"]);
  assert.deepEqual(valueWords("operation.primary", "mitral", atrium), ["Mitral valve"]);
  assert.deepEqual(valueWords("operation.on_bypass", false, atrium), ["no"]);
  assert.deepEqual(valueWords("expert[0].plan.lesions", [{ lesion: "roof-line", energy: "cryo" }], atrium), ["Roof line, Cryothermy, 1 application"]);
  assert.deepEqual(valueWords("expert[0].plan.told", { sinus_rhythm_percent: { low: 60, high: 80 } }, atrium), ["sinus rhythm percent: 60 to 80"]);
  assert.deepEqual(valueWords("title", "", atrium), []);
});
