import assert from "node:assert/strict";
import { test } from "node:test";
import { Atrium } from "../js/model/atrium.js";
import { decisionRows } from "../js/model/decisions.js";
import { workOf } from "../js/model/recognised.js";

const roof = { id: "roof-line", name: "Roof line", chamber: "left-atrium", closed: false, path: [] };
const facts = /** @type {Api.Atrium} */ (/** @type {unknown} */ ({
  chambers: [], lesions: [roof], pacing_wires: [{ id: "none", name: "No wires" }], reasons: [{ id: "thrombus", name: "Thrombus" }],
}));
const atrium = new Atrium(facts);

test("a drawn lesion is called by the named one whose work it does, a named one is not", () => {
  const lesions = [{ chamber: /** @type {Api.Chamber} */ ("left-atrium"), path: [] }, { lesion: "roof-line" }];
  const drawn = [{ recognised: "roof-line" }, { lesion: "roof-line" }];
  const result = /** @type {Api.Result} */ (/** @type {unknown} */ ({ lesions: drawn }));
  assert.equal(workOf(atrium, result, lesions, 0), "does the work of the roof line");
  assert.equal(workOf(atrium, result, lesions, 1), "");
  assert.equal(workOf(atrium, undefined, lesions, 0), "");
  assert.equal(workOf(atrium, result, lesions.slice(0, 1), 0), "", "a result of another set says nothing");
});

test("the decisions of a plan in words", () => {
  const plan = /** @type {Api.Plan} */ ({
    ablate: false, reason: "thrombus", lesions: [], left_appendage: { state: "excised", method: "stapled-excision", flow_check: true }, pacing_wires: "none",
    told: { sinus_rhythm_percent: { low: 55, high: 72.5 }, pacemaker_percent: { low: 5, high: 10 } },
    aftercare: { anticoagulation_months: 3, anticoagulation_then: "by-stroke-risk", monitoring_months: [3, 6, 12], monitoring_hours: 24 },
  });
  const says = Object.fromEntries(decisionRows(facts, plan));
  assert.equal(says.Ablation, "not planned: Thrombus");
  assert.equal(says["Closure judged by echo"], "yes");
  assert.equal(says["Pacing wires"], "No wires");
  assert.equal(says["Told: sinus rhythm at 12 months"], "55 to 72.5\u00a0%");
  assert.equal(says.Anticoagulation, "at least 3 months, then by stroke risk");
  assert.equal(says["Rhythm monitoring"], "at 3, 6 and 12 months, 24 hours each time");
});
