import assert from "node:assert/strict";
import { test } from "node:test";
import { differences, differing, emptyRecord, fromPattern, historyAfter, restByMe, stepIds, toSend, withSteps } from "../js/model/case-record.js";
import { drawnUnasked, letter, namedCircuits, summary } from "../js/model/conduction.js";
import { fromPreset, presetOf, presets } from "../js/model/presets.js";
import { actPlace, byReason, projected, waitingFor } from "../js/model/outlook.js";
import { actionFirst, axis, tally, worstFirst } from "../js/model/standing.js";

const lesions = [{ lesion: "roof-line" }, { chamber: /** @type {Api.Chamber} */ ("left-atrium"), path: [] }, { lesion: "floor-line" }];

test("a record has one step a lesion, drawn ones numbered, and the appendage when treated", () => {
  assert.deepEqual(stepIds(emptyRecord({ lesions })), ["roof-line", "drawn-1", "floor-line"]);
  assert.deepEqual(stepIds(emptyRecord({ lesions: [], left_appendage: { state: "excised" } })), ["left-appendage"]);
});

test("who performed a step stays where it was said", () => {
  const record = withSteps(emptyRecord({ lesions, steps: [{ step: "floor-line", performed_by: "supervisor" }, { step: "gone", performed_by: "supervisor" }] }));
  assert.deepEqual(record.steps.map(step => step.performed_by), ["", "", "supervisor"]);
  assert.deepEqual(restByMe(record).steps.map(step => step.performed_by), ["trainee", "trainee", "supervisor"]);
});

test("a record is sent with its steps and without an empty note", () => {
  const sent = toSend(emptyRecord({ lesions: [lesions[0]], note: " ", left_appendage: { state: "kept", method: "stapled-excision" } }));
  assert.equal("note" in sent, false);
  assert.deepEqual(sent.left_appendage, { state: "kept" });
  assert.deepEqual(sent.steps, [], "nobody was named for the step");
});

test("AF without a break does not end, and is not asked for it", () => {
  const start = emptyRecord().af;
  const long = historyAfter(start, { continuous_months: 18 });
  assert.deepEqual([long.ends, long.longest_episode_days], ["does-not-end", 0]);
  assert.equal(historyAfter(long, { continuous_months: 0 }).ends, "by-itself");
  assert.equal(historyAfter(start, { ends: "by-cardioversion" }).ends, "by-cardioversion");
});

test("two accounts differ where both name a step otherwise", () => {
  const theirs = [{ step: "a", performed_by: "trainee" }, { step: "b", performed_by: "trainee" }];
  assert.deepEqual(differing([{ step: "a", performed_by: "supervisor" }, { step: "b", performed_by: "trainee" }, { step: "c", performed_by: "trainee" }], theirs), ["a"]);
  assert.deepEqual(differences(emptyRecord({ site: "one" }), emptyRecord({ site: "two" })), ["site"]);
});

test("a preset keeps what was entered and is recognised whatever the order", () => {
  const box = presets[1];
  const filled = fromPreset(box.lesions, [{ lesion: "roof-line", energy: "incision", applications: 1 }]);
  assert.equal(filled.find(one => one.lesion === "roof-line")?.energy, "incision");
  assert.equal(presetOf(filled.toReversed()), "box");
  assert.equal(presetOf(filled.slice(1)), "");
});

/** @param {Partial<Api.Circuit>} circuit */
const circuit = circuit => /** @type {Api.Circuit} */ ({ round: [], name: "", path: [], verdict: "can-sustain", ...circuit });
const none = { independent_circuits: 0, isolated_percent: 0, circuits: [], gaps: [], islands: [] };

test("circuits of both atria are named in order of length", () => {
  const result = /** @type {Api.Result} */ ({
    scope: "box", sinus_to_av_node: true, left_atrium: { ...none, circuits: [circuit({ length_mm: 123 })] },
    right_atrium: { ...none, circuits: [circuit({ length_mm: 35, verdict: "harmless" }), circuit({ length_mm: 133 })] },
  });
  assert.deepEqual(namedCircuits(result).map(one => [one.tag, one.chamber, one.index]), [["A", "right-atrium", 1], ["B", "left-atrium", 0], ["C", "right-atrium", 0]]);
  assert.equal(drawnUnasked(namedCircuits(result)).length, 2);
  assert.match(summary(result), /Scope reached: box; 2 circuits can sustain flutter/);
  assert.equal(letter(27), "AB");
});

/** @param {Partial<Api.RequirementStanding>} line */
const line = line => /** @type {Api.RequirementStanding} */ ({ requirement: "r", state: "short", value: 0, target: 10, unit: "cases", n: 0, next: "more", ...line });

test("requirements that need something come first", () => {
  const lines = [line({ requirement: "far", value: 1 }), line({ requirement: "near", value: 9, state: "on-course" }), line({ requirement: "done", value: 10, state: "met", next: "" })];
  const standing = /** @type {Api.Standing} */ ({ requirements: lines });
  assert.deepEqual(worstFirst(lines).map(one => one.requirement), ["far", "near", "done"]);
  assert.deepEqual(tally(standing), [{ state: "met", count: 1 }, { state: "on-course", count: 1 }, { state: "short", count: 1 }]);
});

/** @param {Partial<Api.Projection>} one */
const words = one => projected(/** @type {Api.Projection} */ ({ requirement: "r", more: 4, of: "case", ...one }));

test("a projection says when, or why it cannot", () => {
  const known = { low: "2026-07-10", median: "2026-07-31", high: "2026-09-22", level: 0.9, cases: 7, days: 59 };
  assert.equal(words(known), "When: 31 Jul 2026 as likely as not (10 Jul 2026 to 22 Sep 2026, 90\u00a0%), at the pace of 7 such cases in 59 days.");
  assert.match(words({ ...known, high: undefined }), /\(10 Jul 2026 at the earliest, no latest day, 90/);
  assert.equal(words({ cannot_say: "a quiz can be taken on any day", more: 0 }), "When: cannot say yet, a quiz can be taken on any day.");
  assert.equal(words({ of: "plan", more: 2 }), "When: on any day, 2 plans handed in would do.");
  assert.equal(words({ more: 0 }), "");
});

test("an act leads its trainee to where it is done, and others to its evidence", () => {
  for (const [kind, to] of [["case", "/cases/new"], ["plan", "/scenarios"], ["sign-off", "/cases?status=submitted"]]) {
    const act = /** @type {Api.Act} */ ({ kind });
    assert.deepEqual([actPlace(act, true, "/e"), actPlace(act, false, "/e")], [to, "/e"]);
  }
  assert.deepEqual(waitingFor({ submitted: 2, returned: 1, drafts: 0 }).map(one => one.name), ["1 case returned", "2 cases waiting for sign-off"]);
});

test("evidence that moved for one reason is told together", () => {
  const moved = ["a", "b", "a"].map((reason, i) => ({ id: String(i), kind: "case", reason }));
  assert.deepEqual(byReason(moved).map(one => [one.reason, one.items.length]), [["a", 2], ["b", 1]]);
});

test("marks stay on their axis", () => {
  assert.deepEqual([axis(line({ unit: "phi", value: 0.6, target: 0.7 })).value, axis(line({ unit: "phi", value: 0.6, target: 0.7 })).target], [0.6, 0.7]);
  for (const one of [line({ value: 100 }), line({ value: -1 }), line({ unit: "share", target: 0.8, value: 0.6, interval: { low: 0.4, high: 1.2, level: 0.9, method: "" } })]) {
    for (const place of Object.values(axis(one))) assert.ok(place === undefined || (place >= 0 && place <= 1));
  }
});

test("trainees who need action come first, in the server's order", () => {
  const names = actionFirst(/** @type {any[]} */ ([{ id: "a", attention: "" }, { id: "b", attention: "slipping" }, { id: "c", attention: "stalled" }])).map(one => one.id);
  assert.deepEqual(names, ["b", "c", "a"]);
});

test("a case begun from a pattern keeps what belongs to its patient and its day", () => {
  const mine = { ...emptyRecord({ site: "Main site", supervisor: "mei", operated_on: "2026-05-28" }), events: ["stroke"], note: "A note.", left_atrium_band: "50-54" };
  const pattern = { ...emptyRecord({ site: "Closed site", supervisor: "gone", operation: "mitral" }), lesions: [{ lesion: "roof-line", energy: "cryo", applications: 1, block: "not-tested" }], steps: [{ step: "roof-line", performed_by: "supervisor" }] };
  const begun = fromPattern(mine, pattern, ["Main site"], ["mei"]);
  assert.deepEqual([begun.site, begun.supervisor, begun.operated_on, begun.note, begun.left_atrium_band], ["Main site", "mei", "2026-05-28", "A note.", "50-54"]);
  assert.deepEqual([begun.operation, begun.steps, begun.events], ["mitral", pattern.steps, ["stroke"]]);
  assert.deepEqual(mine.lesions, []);
});
