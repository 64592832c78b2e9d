import assert from "node:assert/strict";
import { test } from "node:test";
import { History } from "../js/acts/history.js";
import { addItem, inPlan, removeItem, toggleAsk, writeField } from "../js/acts/scenario.js";
import { decideAblation } from "../js/acts/answers.js";
import { atFields, countIn, gradeOf, hindrance, inAnswer, lines } from "../js/model/check.js";
import { chosen, differences, firstChoices } from "../js/model/scenario-difference.js";
import { answerName, emptyScenario, fieldInWords, idFrom, newExpert, newFlawed, toSend, whole } from "../js/model/scenario-draft.js";

/** @param {Partial<Api.ScenarioText>} change */
const text = change => ({ ...emptyScenario("A. Writer"), id: "one", title: "One", ...change });
const lesions = [{ lesion: "roof-line", energy: "cryo" }];
const expert = (title, why = "", made = lesions) => ({ ...newExpert(), title, why, plan: { ...newExpert().plan, ablate: true, lesions: made } });
const flawed = (title, letter = "C") => ({ ...newFlawed(), title, letter });

test("an id is made from a title", () => {
  assert.equal(idFrom("The choirmaster's prolapse"), "the-choirmasters-prolapse");
  assert.equal(idFrom("  Müller & Söhne: 2nd try! "), "muller-sohne-2nd-try");
  assert.match(idFrom("long word ".repeat(20)), /^[a-z0-9]+(-[a-z0-9]+)*$/);
  assert.equal(idFrom("…"), "");
});

test("two versions that say the same differ in nothing, however they say it", () => {
  const mine = text({ minutes_limit: 0, operation: { ...emptyScenario().operation, redo_chest: false } });
  const { alternatives, notes, ...theirs } = text({});
  assert.deepEqual(differences(mine, /** @type {any} */ (theirs)), []);
  assert.deepEqual(whole(/** @type {any} */ (theirs)).notes, []);
});

test("each field that differs is named, with who changed it", () => {
  const base = text({ vignette: "as it was", expert: [expert("A")] });
  const mine = { ...base, vignette: "mine", patient: { ...base.patient, age: 61 }, expert: [expert("A", "because")] };
  const theirs = { ...base, title: "Two", patient: { ...base.patient, age: 62 }, expert: [expert("A", "", [])] };
  const list = differences(mine, theirs, base);
  assert.deepEqual(list.map(one => [one.key, one.changed]), [
    ["title", "theirs"], ["vignette", "mine"], ["patient.age", "both"], ["expert:A.why", "mine"], ["expert:A.plan.lesions", "theirs"]]);
  const merged = chosen(mine, theirs, list, firstChoices(list));
  assert.equal(merged.title, "Two");
  assert.equal(merged.vignette, "mine");
  assert.equal(merged.patient.age, 61);
  assert.equal(merged.expert[0].why, "because");
  assert.deepEqual(merged.expert[0].plan.lesions, []);
  assert.equal(mine.expert[0].plan.lesions.length, 1, "my version itself must not change");
});

test("all theirs is their version, all mine is mine", () => {
  const base = text({ expert: [expert("A")], flawed: [flawed("X")] });
  const mine = text({ title: "Mine", expert: [expert("A", "w"), expert("Mine only")], flawed: [flawed("X", "D")], notes: [{ text: "n", source: "s" }] });
  const theirs = text({ title: "Theirs", expert: [expert("A. B")], flawed: [flawed("X"), flawed("Y", "F")], version: 3, status: "draft" });
  const list = differences(mine, theirs, base);
  const every = (/** @type {"mine" | "theirs"} */ choice) => chosen(mine, theirs, list, new Map(list.map(({ key }) => [key, choice])));
  assert.deepEqual(differences(every("theirs"), theirs), []);
  assert.deepEqual(differences(every("mine"), mine), []);
  assert.equal(every("mine").version, 3, "the number is always the newest one's");
});

test("answers only one side has are kept, and what one took away is gone when the other left it alone", () => {
  const base = text({ flawed: [flawed("stays"), flawed("goes")] });
  const mine = { ...base, flawed: [...base.flawed, flawed("mine")] };
  const theirs = { ...base, flawed: [base.flawed[0], flawed("theirs")] };
  const list = differences(mine, theirs, base);
  assert.deepEqual(chosen(mine, theirs, list, firstChoices(list)).flawed.map(one => one.title), ["stays", "mine", "theirs"]);
});

test("not decided and decided against differ", () => {
  const undecided = text({ expert: [newExpert()] });
  const against = text({ expert: [{ ...newExpert(), plan: { ...newExpert().plan, ablate: false } }] });
  assert.deepEqual(differences(undecided, against).map(one => one.key), ["expert:.plan.ablate"]);
});

test("titles given twice are two answers", () => {
  const mine = text({ flawed: [flawed("same"), flawed("same", "D")] }), theirs = text({ flawed: [flawed("same"), flawed("same", "F")] });
  const list = differences(mine, theirs);
  assert.deepEqual(list.map(one => [one.key, one.field]), [["flawed:same (2).letter", "flawed[1].letter"]]);
  assert.equal(chosen(mine, theirs, list, new Map([[list[0].key, "theirs"]])).flawed[1].letter, "F");
});

test("faults stand at their fields, and the summary says where", () => {
  const scenario = text({ expert: [expert("Full set")], flawed: [flawed("")] });
  const faults = [
    { field: "patient.age", message: "must be between 18 and 110, not 0" }, { field: "patient.stroke_risk_items[1]", message: "given twice: remove one" },
    { field: "expert[0].plan.lesions[2].energy", message: "unknown" }, { field: "flawed[0].codes[1]", message: "unknown code" }, { field: "", message: "larger than allowed" }];
  const at = atFields(faults);
  assert.equal(at.get("patient.age"), "Must be between 18 and 110, not 0");
  assert.equal(at.get("patient.stroke_risk_items"), "Given twice: remove one");
  assert.equal(at.get("flawed[0].codes"), "Unknown code");
  assert.deepEqual([...inAnswer(at, { kind: "expert", index: 0 })], [["lesions[2].energy", "Unknown"]]);
  assert.equal(countIn(faults, { kind: "expert", index: 0 }), 1);
  assert.deepEqual(lines(faults, scenario).map(line => line.says), [
    "Age: must be between 18 and 110, not 0", "Stroke risk item 2: given twice: remove one", "Full set, lesion 3, energy: unknown", "Flawed plan 1, code 2: unknown code", "larger than allowed"]);
});

test("words for fields", () => {
  const scenario = text({ expert: [expert("Full set")] });
  assert.equal(fieldInWords("operation.tricuspid_work", scenario), "Tricuspid work");
  assert.equal(fieldInWords("expert[0].plan", scenario), "Full set");
  assert.equal(fieldInWords("notes[0].source", scenario), "Note 1, source");
  assert.equal(answerName(scenario, { kind: "flawed", index: 2 }), "Flawed plan 3");
});

test("answers are matched with their grades, and only a checked scenario without faults can go on", () => {
  const scenario = text({ expert: [expert("A")], flawed: [flawed("X")] });
  const grade = (/** @type {string} */ letter) => /** @type {Api.AnswerCheck} */ ({ letter, ok: true });
  const check = /** @type {Api.Check} */ ({ faults: [], answers: [grade("A"), grade("C")], caution: "" });
  assert.equal(gradeOf(check, scenario, { kind: "flawed", index: 0 })?.letter, "C");
  assert.equal(gradeOf({ ...check, answers: [] }, scenario, { kind: "flawed", index: 0 }), undefined);
  assert.equal(hindrance(check, false), "");
  assert.match(hindrance(check, true), /being checked/);
  assert.match(hindrance({ ...check, faults: [{ field: "title", message: "m" }] }, false), /1 fault /);
});

test("the form undoes field by field, and a plan's own acts work inside it", () => {
  let history = new History(text({ expert: [expert("A")] }))
    .after(writeField(["patient", "age"], 6, "age")).after(writeField(["patient", "age"], 61, "age")).after(toggleAsk("told", ["ablation", "told"], "decisions"))
    .after(inPlan("expert", 0, decideAblation(false))).after(addItem("flawed", newFlawed(), "a flawed plan")).after(removeItem("flawed", 0, "it"));
  assert.equal(history.now.expert[0].plan.ablate, false);
  history = history.undone().undone().undone();
  assert.equal(history.now.expert[0].plan.ablate, true);
  assert.deepEqual(history.now.asks, ["ablation", "told"]);
  assert.equal(history.undone().undone().now.patient.age, 0);
  assert.equal(history.after(inPlan("expert", 0, decideAblation(true))), history, "an act that changes nothing leaves no trace");
});

test("a scenario is sent without what is empty", () => {
  const sent = toSend(text({ minutes_limit: 0, asks: ["lesion-set"], expert: [expert("A")], alternatives: [{ scope: "box", finding: "", why: "w" }] }));
  assert.equal("minutes_limit" in sent, false);
  assert.deepEqual(sent.alternatives, [{ scope: "box", why: "w" }]);
  assert.equal(toSend(text({ asks: ["lesion-set"], expert: [newExpert()] })).expert[0].plan.ablate, true);
  assert.equal(toSend(text({ expert: [newExpert()] })).expert[0].plan.ablate, null);
});
