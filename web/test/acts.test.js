import assert from "node:assert/strict";
import { test } from "node:test";
import { decideAblation, planAftercare, treatAppendage, writeNote } from "../js/acts/answers.js";
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
