import assert from "node:assert/strict";
import { test } from "node:test";
import { asked, asVersion, casesWords, chosen, faultAt, idsIn, movedBy, newRequirement, otherFaults, percentOf, placeWords, valueOf, withField } from "../js/model/standard.js";

/** @type {Api.RequirementKind} */
const curve = { kind: "curve", name: "Learning curve", says: "", fields: [
  { name: "scale", label: "A success is", type: "choice", required: true, least: 0, most: 0, choices: [{ id: "help_given", name: "Help given" }, { id: "complete", name: "Lines complete" }] },
  { name: "level", label: "Level or above", type: "level", required: true, least: 2, most: 5, except: { field: "scale", value: "complete" } },
  { name: "filter.scope", label: "With scope", type: "list", required: false, least: 0, most: 0, choices: [{ id: "box", name: "box" }, { id: "biatrial", name: "biatrial set" }] },
  { name: "filter.period_days", label: "Operated within the last", type: "whole", unit: "days", required: false, least: 1, most: 3650 },
] };

test("what is empty is left out, in the filter too, and the filter with it", () => {
  const r = { id: "a", kind: "curve" };
  const full = withField(withField(r, "filter.scope", ["box"]), "level", 4);
  assert.deepEqual(full, { id: "a", kind: "curve", filter: { scope: ["box"] }, level: 4 });
  assert.deepEqual(withField(withField(full, "filter.scope", []), "level", 0), r);
  assert.equal(valueOf(r, "filter.scope"), undefined);
  assert.deepEqual(valueOf(full, "filter.scope"), ["box"]);
});

test("choosing what a field does not belong beside leaves the field out, and it is not asked for", () => {
  const r = chosen({ id: "a", kind: "curve", scale: "help_given", level: 4 }, curve, "scale", "complete");
  assert.deepEqual(r, { id: "a", kind: "curve", scale: "complete" });
  assert.ok(!asked(curve, r).some(field => field.name === "level"));
  assert.equal(asked(curve, { id: "a", kind: "curve" }).length, 4);
});

test("a new requirement has an id of its own", () => {
  assert.deepEqual(newRequirement(curve, []), { id: "learning-curve", kind: "curve" });
  assert.deepEqual(newRequirement(curve, [{ id: "learning-curve", kind: "curve" }, { id: "learning-curve-2", kind: "count" }]), { id: "learning-curve-3", kind: "curve" });
});

test("the version of a text changes and nothing else", () => {
  assert.equal(asVersion("id: a\nversion: 1 # first\nrequirements:\n  - {id: version, at_least: 1}\n", 12), "id: a\nversion: 12 # first\nrequirements:\n  - {id: version, at_least: 1}\n");
});

test("faults stand at their field, at the list that holds them, or at the requirement", () => {
  const faults = [{ field: "requirements[1].filter.scope[0]", message: "is unknown" }, { field: "requirements[1].letter", message: "does not belong" }, { field: "requirements[10].id", message: "is used twice", line: 7 }];
  assert.equal(faultAt(faults, "requirements[1].filter.scope"), "Is unknown");
  assert.equal(faultAt(faults, "requirements[1]"), "");
  assert.deepEqual(otherFaults(faults, 1, ["filter.scope"]).map(fault => fault.field), ["requirements[1].letter"]);
  const standard = { id: "s", title: "", version: 1, requirements: [{ id: "x", kind: "count" }, { id: "second", kind: "curve" }] };
  assert.equal(placeWords(faults[0], standard, [curve]), "second, with scope");
  assert.equal(placeWords(faults[2], standard, [curve]), "line 7, requirement 11, id");
  assert.equal(placeWords({ field: "in_force_from", message: "" }, standard, [curve]), "in force from");
});

test("shares, ids and cases as people read them", () => {
  assert.equal(percentOf(0.07), 7);
  assert.equal(percentOf(0.125), 12.5);
  assert.deepEqual(idsIn("conduction, lesion-sets;"), ["conduction", "lesion-sets"]);
  assert.equal(casesWords(curve, { id: "a", kind: "curve" }), "all signed-off cases");
  assert.equal(casesWords(curve, { id: "a", kind: "curve", filter: { scope: ["box", "biatrial"], period_days: 90 } }), "box or biatrial set; within 90 days");
  assert.deepEqual(movedBy([1, 2, 3], 2, -1), [1, 3, 2]);
});
