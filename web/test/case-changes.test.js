import assert from "node:assert/strict";
import { test } from "node:test";
import { inGroups, recordChanges, versionChanges } from "../js/model/case-changes.js";
import { emptyRecord, withSteps } from "../js/model/case-record.js";

const facts = /** @type {any} */ ({
  operations: [{ id: "mitral", name: "mitral valve" }], energies: [{ id: "cryo", name: "cryo" }], block_tests: [{ id: "exit", name: "exit" }],
  performers: [{ id: "trainee", name: "trainee" }, { id: "supervisor", name: "supervisor" }], events: [{ id: "stroke", name: "stroke" }],
  appendage_states: [{ id: "kept", name: "kept" }, { id: "excised", name: "excised" }], appendage_methods: [{ id: "excision-and-suture", name: "excision and suture" }],
  left_atrium_bands: [], approaches: [], urgencies: [], help_levels: [{ level: 4, name: "spoken advice" }], supervision_levels: [{ level: 3, name: "at call" }],
});
const atrium = /** @type {any} */ ({
  facts, lesion: (/** @type {string} */ id) => ({ "roof-line": { name: "Roof line" } })[id],
  namesOf: (/** @type {any[]} */ lesions) => lesions.map((lesion, i) => (lesion.lesion ? "Roof line" : `Drawn ${i}`)),
});
const roof = { lesion: "roof-line", energy: "cryo", applications: 1 };
const record = (/** @type {Partial<Api.CaseRecord>} */ known = {}) => {
  const made = withSteps(emptyRecord({ operation: "mitral", lesions: [roof], ...known }));
  return { ...made, steps: made.steps.map(step => ({ ...step, performed_by: "trainee" })) };
};

test("two records that say the same differ in nothing", () => assert.deepEqual(recordChanges(record(), record(), atrium), []));

test("what changed in a record is said field by field, in words", () => {
  const after = record({ lesions: [{ ...roof, applications: 3, block: "exit" }], left_appendage: { state: "excised", method: "excision-and-suture", result: "closed" }, events: ["stroke"] });
  after.steps[0].performed_by = "supervisor";
  assert.deepEqual(recordChanges(record(), after, atrium), [
    { what: "Left appendage", was: "kept", is: "excised, excision and suture, closed, no flow" },
    { what: "Events to 30 days", was: "none", is: "stroke" },
    { what: "Roof line", was: "cryo, 1 application, block not tested", is: "cryo, 3 applications, block tested: exit" },
    { what: "Roof line, performed by", was: "trainee", is: "supervisor" },
    { what: "Left appendage, performed by", was: "", is: "trainee" },
  ]);
});

test("a lesion that is new, gone or drawn otherwise is a change", () => {
  const drawn = (/** @type {number} */ x) => record({ lesions: [{ path: /** @type {any} */ ([{ x, y: 1, z: 0 }]), energy: "cryo", applications: 1 }] });
  assert.equal(recordChanges(record(), record({ lesions: [] }), atrium)[0].is, "");
  assert.deepEqual(recordChanges(drawn(1), drawn(2), atrium).map(one => one.what), ["Drawn 0"]);
});

test("between versions, what is computed and what was signed are said apart", () => {
  const version = (/** @type {any} */ known) => /** @type {Api.CaseVersion} */ ({ record: record(), computed: { scope: "box", circuits_left: 2 }, ...known });
  const signed = { assessor_name: "A. Supervisor", role: "primary", statement: { help_given: 4, supervision_next: 3, keep: "calm", change: "slower", steps: record().steps } };
  assert.deepEqual(versionChanges(version({}), version({}), atrium), []);
  assert.deepEqual(versionChanges(version({}), version({ computed: { scope: "biatrial", circuits_left: 2 }, sign_off: signed }), atrium).map(group => [group.heading, group.changes[0].was, group.changes[0].is]),
    [["Computed from the record", "box", "biatrial"], ["Sign-off", "not signed", "A. Supervisor"]]);
  const again = { ...signed, statement: { ...signed.statement, steps: [{ step: "roof-line", performed_by: "supervisor" }] } };
  assert.deepEqual(versionChanges(version({ sign_off: signed }), version({ sign_off: again }), atrium)[0].changes,
    [{ what: "Roof line, as the supervisor saw it", was: "trainee", is: "supervisor" }]);
});

test("a hash is shown whole, in groups of eight", () => {
  const hash = "0123456789abcdef".repeat(4);
  assert.equal(inGroups(hash).length, 8);
  assert.equal(inGroups(hash).join(""), hash);
});
