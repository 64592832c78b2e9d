// What one version of a case says otherwise than another, field by field, in words.
import { dayWords } from "../lib/days.js";
import { counted } from "../lib/numbers.js";
import { capital, levelName, listed, named, word } from "../lib/words.js";
import { eventWords } from "./statement.js";

/** @typedef {import("./atrium.js").Atrium} Atrium */
/** @typedef {{what: string, was: string, is: string}} Change */

const yesNo = (/** @type {boolean} */ value) => (value ? "yes" : "no");

/** Every field of a record by its name, in words. @param {Api.CaseRecord} record @param {Atrium} atrium @returns {Map<string, string>} */
export function recordInWords(record, atrium) {
  const { facts } = atrium, appendage = record.left_appendage;
  const words = new Map([
    ["Operated on", dayWords(record.operated_on)], ["Site", record.site], ["Operation", named(facts.operations, record.operation)],
    ["Approach", named(facts.approaches, record.approach)], ["Urgency", named(facts.urgencies, record.urgency)],
    ["On bypass", yesNo(record.on_bypass)], ["Left atrium opened", yesNo(record.left_atrium_opened)],
    ["AF without a break", counted(record.af.continuous_months, "month")], ["Longest episode", counted(record.af.longest_episode_days, "day")],
    ["How it ended", word(record.af.ends)], ["Rhythm control still pursued", yesNo(record.af.rhythm_control_pursued)],
    ["Left atrium", named(facts.left_atrium_bands, record.left_atrium_band)],
    ["Left appendage", [named(facts.appendage_states, appendage.state), appendage.method && named(facts.appendage_methods, appendage.method), appendage.result && word(appendage.result)].filter(Boolean).join(", ")],
    ["Events to 30 days", listed(record.events.map(event => named(facts.events, event))) || "none"], ["Note", record.note || ""],
  ]);
  atrium.namesOf(record.lesions).forEach((name, i) => words.set(name, lesionInWords(record.lesions[i], facts)));
  for (const [name, performer] of performersOf(record.steps, atrium)) words.set(`${name}, performed by`, performer);
  return words;
}

/** @param {Api.Lesion} lesion @param {Api.Atrium} facts */
function lesionInWords(lesion, facts) {
  const block = lesion.block && lesion.block !== "not-tested" ? `block tested: ${named(facts.block_tests, lesion.block)}` : "block not tested";
  const drawn = lesion.path ? ` along ${lesion.path.map(point => Object.values(point).map(part => Math.round(Number(part) * 100) / 100).join(" ")).join("; ")}` : "";
  return [lesion.energy ? named(facts.energies, lesion.energy) : "energy not said", counted(lesion.applications || 1, "application"), block].join(", ") + drawn;
}

/** @param {Api.Step[]} steps @param {Atrium} atrium @returns {[string, string][]} */
const performersOf = (steps, atrium) => steps.map(({ step, performed_by: by }) => [
  step === "left-appendage" ? "Left appendage" : atrium.lesion(step)?.name || capital(step.replace("-", " ")), by ? named(atrium.facts.performers, by) : "not said",
]);

/** What was computed, in words. @param {Api.Computed} [computed] @returns {Map<string, string>} */
const computedInWords = computed => new Map(computed ? [
  ["AF pattern", word(computed.pattern)], ["Scope", word(computed.scope)], ["Against the programme's scope policy", word(computed.policy)],
  ["Circuits left of 78 mm or more", String(computed.circuits_left)], ["Lines complete", yesNo(computed.lines_complete)],
  ["Block tested at every vein isolation", yesNo(computed.block_tested)], ["Role by the trainee's account", word(computed.role)],
] : []);

/** What was signed, in words. @param {Api.SignOff | undefined} signOff @param {Atrium} atrium @returns {Map<string, string>} */
function signOffInWords(signOff, atrium) {
  if (!signOff) return new Map([["Signature", "not signed"]]);
  const { statement } = signOff, { facts } = atrium;
  return new Map([
    ["Signature", `${signOff.assessor_name}`], ["Role confirmed", word(signOff.role)], ["Help given, looking back", `${statement.help_given}, ${levelName(facts.help_levels, statement.help_given)}`],
    ["Supervision next time, looking ahead", `${statement.supervision_next}, ${levelName(facts.supervision_levels, statement.supervision_next)}`],
    ["Events, to the supervisor", eventWords(statement, event => named(facts.events, event))], ["Keep", statement.keep], ["Change", statement.change],
    ...performersOf(statement.steps, atrium).map(([name, by]) => /** @type {[string, string]} */ ([`${name}, as the supervisor saw it`, by])),
  ]);
}

/** @param {Map<string, string>} was @param {Map<string, string>} is @returns {Change[]} */
function between(was, is) {
  return [...new Set([...was.keys(), ...is.keys()])].map(what => ({ what, was: was.get(what) || "", is: is.get(what) || "" })).filter(row => row.was !== row.is);
}

/** What differs between two records. @param {Api.CaseRecord} was @param {Api.CaseRecord} is @param {Atrium} atrium */
export const recordChanges = (was, is, atrium) => between(recordInWords(was, atrium), recordInWords(is, atrium));

/** What differs between two versions of a case: in the record, in what is computed of it, and in what was signed.
 * @param {Api.CaseVersion} was @param {Api.CaseVersion} is @param {Atrium} atrium @returns {{heading: string, changes: Change[]}[]} */
export const versionChanges = (was, is, atrium) => [
  { heading: "Record", changes: recordChanges(was.record, is.record, atrium) },
  { heading: "Computed from the record", changes: between(computedInWords(was.computed), computedInWords(is.computed)) },
  { heading: "Sign-off", changes: between(signOffInWords(was.sign_off, atrium), signOffInWords(is.sign_off, atrium)) },
].filter(group => group.changes.length > 0);

/** A hash in groups of eight, which people can compare. @param {string} hash */
export const inGroups = hash => hash.match(/.{1,8}/g) || [];
