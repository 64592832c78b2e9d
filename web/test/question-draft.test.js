import assert from "node:assert/strict";
import { test } from "node:test";
import { emptyQuestion, faultLines, fieldInWords, hasOptions, matchingQuestions, movedBy, nextID, rulesOf, withKind, withOption, withOptions, withRight } from "../js/model/question-draft.js";
import { chosenQuestion, questionDifferences, taskLines } from "../js/model/question-difference.js";
import { firstChoices } from "../js/model/scenario-difference.js";

const empty = emptyQuestion("stairs", "Mei");
const options = ["a", "b", "c"].map(id => ({ id, text: `Text ${id}`, feedback: `Because of ${id}` }));
/** @param {Partial<Api.QuestionText>} [change] @returns {Api.QuestionText} */
const several = change => ({ ...withKind(empty, "several"), options, key: ["a", "c"], stem: "Which two?", ...change });

test("an empty question has three options, none right", () => {
  assert.equal(empty.kind, "single-best");
  assert.deepEqual(empty.options?.map(one => one.id), ["o1", "o2", "o3"]);
  assert.deepEqual(empty.key, []);
});

test("an option's id is none that is there, also after one was deleted", () => {
  assert.equal(nextID([{ id: "o1", text: "", feedback: "" }, { id: "o3", text: "", feedback: "" }]), "o2");
  assert.deepEqual(withOption([]).map(one => one.id), ["o1"]);
});

test("of a single best answer one is right, of several any number in the order they stand", () => {
  assert.deepEqual(withRight({ ...empty, key: ["o1"] }, "o2", true).key, ["o2"]);
  assert.deepEqual(withRight(several({ key: ["c"] }), "a", true).key, ["a", "c"]);
  assert.deepEqual(withRight(several(), "a", false).key, ["c"]);
});

test("a deleted option is no longer right; an order's key is its options as they stand", () => {
  assert.deepEqual(withOptions(several(), options.slice(1)).key, ["c"]);
  assert.deepEqual(withOptions(withKind(several(), "ordering"), movedBy(options, 0, 1)).key, ["b", "a", "c"]);
  assert.equal(movedBy(options, 0, -1), options);
});

test("another kind has what belongs to it and nothing else", () => {
  const number = withKind(several({ rule: "share", keep_order: true }), "numeric");
  assert.deepEqual([number.options, number.key, number.rule, number.keep_order], [undefined, undefined, undefined, undefined]);
  assert.deepEqual(number.number, { value: 0, tolerance: 0, unit: "" });
  const map = withKind(number, "map");
  assert.equal(map.number, undefined);
  assert.deepEqual(map.map?.near, { within_mm: 8 });
  assert.deepEqual(withKind(several(), "single-best").key, ["a"]);
  assert.equal(hasOptions("map"), false);
  assert.deepEqual(rulesOf("ordering").map(one => one.id), ["", "pairs"]);
});

test("faults say where they stand, as the form and as a table's columns name it", () => {
  assert.equal(fieldInWords("options[1].text"), "Option 2, text");
  assert.equal(fieldInWords("option_2_feedback"), "Option 2, feedback");
  assert.equal(fieldInWords("map.misses[0].path"), "Wrong drawing 1, drawing");
  assert.equal(fieldInWords("map.effect.closes[1]"), "Circuit to close 2");
  assert.equal(fieldInWords("number.misses[0].value"), "Wrong number 1, number");
  assert.deepEqual(faultLines([{ field: "key", message: "a single best answer has one key, not 0" }]), [{ field: "key", says: "Right answer: a single best answer has one key, not 0" }]);
});

test("a search wants every word somewhere, and what else is chosen", () => {
  const head = (/** @type {Partial<Api.QuestionHead>} */ change) => /** @type {Api.QuestionHead} */ ({ id: "x", stem: "Roof line and box", topic: "lines", kind: "map", status: "live", author_name: "Mei", ...change });
  const heads = [head({ id: "one", options: ["A spiral staircase"] }), head({ id: "two", stem: "Energy of the roof", topic: "energy", kind: "numeric" }), head({ id: "three", status: "draft", author_name: "Tomasz" })];
  const found = (/** @type {any} */ wanted) => matchingQuestions(heads, { status: "", topic: "", kind: "", text: "", ...wanted }).map(one => one.id);
  assert.deepEqual(found({ text: "ROOF mei" }), ["one", "two"]);
  assert.deepEqual(found({ text: "spiral" }), ["one"]);
  assert.deepEqual(found({ status: "draft" }), ["three"]);
  assert.deepEqual(found({ topic: "energy", kind: "numeric" }), ["two"]);
});

test("two versions differ part by part, and what is empty and what is left out are the same", () => {
  assert.deepEqual(questionDifferences(several({ not_with: [], rule: "" }), several()), []);
  const next = several({ stem: "Which two are right?", options: [options[0], { ...options[1], text: "Another text" }, options[2]], key: ["a", "b"] });
  assert.deepEqual(questionDifferences(next, several()).map(({ key, name, mine, theirs, changed }) => [key, name, mine, theirs, changed]), [
    ["stem", "Question", ["Which two are right?"], ["Which two?"], "mine"],
    ["option:b", "Option 2", ["Another text", "Said to it: Because of b"], ["Text b", "Said to it: Because of b"], "mine"],
    ["key", "Right answer", ["Text a", "Another text"], ["Text a", "Text c"], "mine"],
  ]);
});

test("versions of two kinds differ in the whole answer", () => {
  const list = questionDifferences(withKind(several(), "numeric"), several());
  assert.deepEqual(list.map(one => one.key), ["answer"]);
  assert.deepEqual(list[0].mine, ["A number", "0, give or take 0"]);
  assert.deepEqual(chosenQuestion(withKind(several(), "numeric"), several(), list, new Map([["answer", "theirs"]])), several());
});

test("what a drawing is marked by stands in words", () => {
  const map = { chamber: /** @type {Api.Chamber} */ ("left-atrium"), draw: /** @type {Api.QuizDraw} */ ("line"), shown: { lesions: [{ lesion: "roof-line" }] }, key: [],
    effect: { isolates: ["posterior-wall"], closes: [["mitral-annulus"]], leaves: [["right-superior-vein", "right-inferior-vein"]], clear: [{ structure: "oesophagus", least_mm: 5 }], most_mm: 60 } };
  assert.deepEqual(taskLines(map), ["Left atrium, a line", "must isolate: posterior wall", "must close the circuit round mitral annulus", "must leave the circuit round right superior vein and right inferior vein",
    "must stay 5 mm from the oesophagus", "at most 60 mm long", "there already: roof line"]);
  assert.deepEqual(taskLines({ ...map, effect: undefined, near: { within_mm: 8 }, shown: { lesions: [] } }), ["Left atrium, a line", "within 8 mm of the right one"]);
});

test("in a conflict what only they changed is taken over, and options only they have come after mine", () => {
  const base = several(), mine = several({ stem: "Mine?" });
  const theirs = { ...several({ rationale: "Theirs.", options: [...options, { id: "d", text: "Text d", feedback: "New" }], key: ["a", "d"] }), version: 2 };
  const list = questionDifferences(mine, theirs, base);
  assert.deepEqual(list.map(one => [one.key, one.changed]), [["stem", "mine"], ["key", "theirs"], ["rationale", "theirs"], ["option:d", "theirs"]]);
  const merged = chosenQuestion(mine, theirs, list, firstChoices(list));
  assert.deepEqual([merged.stem, merged.rationale, merged.version, merged.key], ["Mine?", "Theirs.", 2, ["a", "d"]]);
  assert.deepEqual(merged.options?.map(one => one.id), ["a", "b", "c", "d"]);
});

test("a key is never left without its option, whatever is chosen", () => {
  const theirs = several({ options: [...options, { id: "d", text: "Text d", feedback: "New" }], key: ["a", "d"] });
  const list = questionDifferences(several(), theirs);
  const merged = chosenQuestion(several(), theirs, list, new Map([["key", "theirs"], ["option:d", "mine"]]));
  assert.deepEqual(merged.options?.map(one => one.id), ["a", "b", "c"]);
  assert.deepEqual(merged.key, ["a"]);
});

test("of an order the key taken over puts the options in their order", () => {
  const mine = withOptions(withKind(several(), "ordering"), options), theirs = withOptions(mine, [options[2], options[0], options[1]]);
  const list = questionDifferences(mine, theirs);
  assert.deepEqual(list.map(one => [one.key, one.theirs]), [["key", ["1. Text c", "2. Text a", "3. Text b"]]]);
  assert.deepEqual(chosenQuestion(mine, theirs, list, new Map([["key", "theirs"]])).key, ["c", "a", "b"]);
});
