import assert from "node:assert/strict";
import { test } from "node:test";
import { addStep, choosePacing, decideAblation, moveStep, planAftercare, removeStep, tellPatient, treatAppendage, writeNote } from "../js/acts/answers.js";
import { History } from "../js/acts/history.js";
import { addLesion, changeLesion, removeLesion } from "../js/acts/lesions.js";
import { emptyPlan, lesionSet, missing, months, toSend } from "../js/model/plan-draft.js";

const roof = { lesion: "roof-line", energy: "cryo", applications: 1 };

test("undo and redo walk the acts", () => {
  let history = new History(emptyPlan()).after(addLesion(roof, "roof line")).after(changeLesion(0, { energy: "bipolar-rf" }, "roof line"));
  assert.equal(history.now.lesions[0].energy, "bipolar-rf");
  assert.equal(history.undoes, "change roof line");
  history = history.undone();
  assert.equal(history.now.lesions[0].energy, "cryo");
  history = history.undone();
  assert.equal(history.now.lesions.length, 0);
  assert.equal(history.undone(), history);
  history = history.redone().redone();
  assert.equal(history.now.lesions[0].energy, "bipolar-rf");
  assert.equal(history.redoes, "");
});

test("rapid repeats of one act undo as one, and a new act forgets what was undone", () => {
  let history = new History(emptyPlan()).after(writeNote("a")).after(writeNote("ab")).after(writeNote("abc"));
  assert.equal(history.undone().now.note, undefined);
  history = history.undone().after(decideAblation(true));
  assert.equal(history.redoes, "");
});

test("an act never changes the plan it is given", () => {
  const plan = Object.freeze({ ...emptyPlan(), lesions: Object.freeze([Object.freeze(roof)]) });
  for (const act of [addLesion(roof, "x"), removeLesion(0, "x"), changeLesion(0, { applications: 2 }, "x"), decideAblation(false), treatAppendage({ state: "excised" }), planAftercare({ monitoring_hours: 24 })]) {
    assert.notEqual(act.apply(/** @type {any} */ (plan)), plan);
  }
});

test("deciding against ablation drops the lesions, deciding for it the reason", () => {
  const against = decideAblation(false).apply({ ...emptyPlan(), lesions: [roof] });
  assert.deepEqual(against.lesions, []);
  assert.equal(decideAblation(true).apply({ ...against, reason: "thrombus" }).reason, undefined);
});

test("a kept appendage has no method", () => {
  const excised = treatAppendage({ method: "stapled-excision", state: "excised" }).apply(emptyPlan());
  assert.deepEqual(treatAppendage({ state: "kept" }).apply(excised).left_appendage, { state: "kept" });
});

test("missing names what the scenario asks and the plan does not say", () => {
  const asks = ["ablation", "lesion-set", "appendage", "aftercare"];
  assert.deepEqual(missing(emptyPlan(), asks).map(one => one.field), ["ablate", "aftercare"]);
  assert.deepEqual(missing({ ...emptyPlan(), ablate: false, left_appendage: { state: "excised" } }, ["ablation"]).map(one => one.field), ["reason", "left_appendage.method"]);
  assert.deepEqual(missing(emptyPlan(), ["lesion-set"]).map(one => one.field), ["lesions"]);
});

test("a plan is sent without what was not asked or not said", () => {
  const plan = { ...emptyPlan(), note: "  ", aftercare: { anticoagulation_months: 3, anticoagulation_then: "stop", monitoring_months: [], monitoring_hours: 0 }, reason: "thrombus" };
  assert.deepEqual(toSend(plan, ["lesion-set"]), { ablate: true, lesions: [], left_appendage: { state: "kept" } });
});

test("the lesion set carries the patient's diameters", () => {
  const patient = /** @type {Api.Patient} */ ({ left_atrium_mm: 52 });
  assert.deepEqual(lesionSet(emptyPlan(), patient), { lesions: [], left_appendage: "kept", left_atrium_diameter_mm: 52 });
});

test("months are read from what people type", () => {
  assert.deepEqual(months("12, 3 and 6; 3"), [3, 6, 12]);
  assert.deepEqual(months("none"), []);
});

test("steps are taken, moved and left out; at the ends they stay", () => {
  let history = new History(emptyPlan());
  for (const step of ["arrest", "appendage", "block-test"]) history = history.after(addStep(step, step));
  history = history.after(moveStep("block-test", 0, "x"));
  assert.deepEqual(history.now.steps, ["block-test", "arrest", "appendage"]);
  assert.equal(history.after(moveStep("block-test", -1, "x")), history);
  assert.equal(history.after(moveStep("appendage", 9, "x")), history);
  history = history.after(removeStep("arrest", "x"));
  assert.deepEqual(history.now.steps, ["block-test", "appendage"]);
  assert.deepEqual(history.undone().now.steps, ["block-test", "arrest", "appendage"]);
  assert.equal(history.undoes, "leave out 'x'");
});

test("what the patient is told is asked for as two whole ranges, the right way up", () => {
  const asks = ["told"], fields = (/** @type {Api.Plan} */ plan) => missing(plan, asks).map(one => one.field);
  let plan = emptyPlan();
  assert.deepEqual(fields(plan), ["told.sinus_rhythm_percent.low", "told.pacemaker_percent.low"]);
  for (const [what, low, high] of /** @type {[keyof Api.Told, number, number][]} */ ([["sinus_rhythm_percent", 60, 80], ["pacemaker_percent", 5, 15]])) {
    plan = tellPatient(what, { low }).apply(plan);
    assert.equal(toSend(plan, asks).told, undefined, "half a range is not sent");
    plan = tellPatient(what, { high }).apply(plan);
  }
  assert.deepEqual(fields(plan), []);
  assert.deepEqual(toSend(plan, asks).told, { sinus_rhythm_percent: { low: 60, high: 80 }, pacemaker_percent: { low: 5, high: 15 } });
  assert.deepEqual(fields(tellPatient("sinus_rhythm_percent", { low: 90 }).apply(plan)), ["told.sinus_rhythm_percent.low"]);
  assert.deepEqual(fields(tellPatient("pacemaker_percent", { high: 115 }).apply(plan)), ["told.pacemaker_percent.high"]);
});

test("steps and pacing are asked for, and sent only when asked", () => {
  const plan = choosePacing("none").apply(addStep("arrest", "x").apply(emptyPlan()));
  assert.deepEqual(missing(emptyPlan(), ["steps", "pacing"]).map(one => one.field), ["steps", "pacing_wires"]);
  assert.deepEqual(missing(plan, ["steps", "pacing"]), []);
  assert.deepEqual(toSend(plan, ["steps", "pacing"]).steps, ["arrest"]);
  assert.deepEqual(Object.keys(toSend(plan, [])).sort(), ["ablate", "left_appendage", "lesions"]);
});
