// A scope policy: a new version of one, its conditions in words, and where its faults stand.
import { listed, named, word } from "../lib/words.js";

/** The id of the policy that comes with the program: no programme's own may have it. */
export const shippedID = "default";

/** Where a policy that a grade names can be read. @param {{policy: string, policy_version: number}} grade */
export const policyPath = ({ policy, policy_version: version }) => (policy === shippedID ? `/scope-policies/${shippedID}?graded=${version}` : `/scope-policies/${version}`);

/** The next version of a policy, for a programme whose latest own version is given (0 for none). @param {Api.ScopePolicy} from @param {number} latest @returns {Api.ScopePolicy} */
export const nextVersion = (from, latest) => ({ ...structuredClone(from), id: from.id === shippedID ? "our-scope-policy" : from.id, version: Math.max(latest, from.version) + 1,
  title: from.id === shippedID ? "Our scope policy" : from.title });

/** @returns {Api.PolicyRow} */
export const newRow = () => ({ id: "", says: "", when: {}, target: "left-atrial", minimum: "box", evidence: [newEvidence()] });

/** @returns {Api.Evidence} */
export const newEvidence = () => ({ for: true, text: "", source: "" });

/** A row with another target has what belongs to it, and nothing else. @param {Api.PolicyRow} row @param {string} target @returns {Api.PolicyRow} */
export function withTarget(row, target) {
  const { minimum, also, may_decline: _, reasons, cap_when_ablated: cap, ...rest } = row;
  if (target === "none") return { ...rest, target, reasons: reasons || [], cap_when_ablated: cap || "D" };
  return { ...rest, target, minimum: minimum || target, ...(also ? { also } : {}) };
}

/** The conditions that are yes, no or either. @type {[keyof Api.Conditions, string, string, string][]} name, label, in words when yes, when no */
export const yesNo = [
  ["left_atrium_opened", "Left atrium opened", "the left atrium is opened", "the left atrium stays closed"], ["tricuspid_work", "Work on the tricuspid valve", "tricuspid work", "no tricuspid work"],
  ["redo_chest", "Chest opened before", "the chest was opened before", "the chest was not opened before"], ["thrombus", "Thrombus on imaging", "thrombus on imaging", "no thrombus"],
  ["sinus_node_disease", "Sinus node disease", "sinus node disease", "no sinus node disease"], ["pacemaker", "Pacemaker in place", "a pacemaker in place", "no pacemaker"],
];

/** The conditions of a rule in words; a rule without any always holds. @param {Api.Conditions} when @param {Api.Named[]} [operations] @returns {string} */
export function conditionWords(when, operations) {
  const parts = [
    when.patterns?.length ? `${listed(when.patterns.map(word)).replace(" and ", " or ")} AF` : "",
    when.primary?.length ? listed(when.primary.map(id => named(operations, id).toLowerCase())).replace(" and ", " or ") : "",
    when.urgency?.length ? `${listed(when.urgency.map(word)).replace(" and ", " or ")} operation` : "",
    ...yesNo.map(([name, , yes, no]) => (when[name] === undefined ? "" : when[name] ? yes : no)),
    when.left_atrium_below_mm ? `left atrium below ${when.left_atrium_below_mm} mm` : "", when.left_atrium_above_mm ? `left atrium above ${when.left_atrium_above_mm} mm` : "",
    when.mitral_regurgitation_at_most ? `mitral regurgitation at most ${when.mitral_regurgitation_at_most}` : "",
  ].filter(Boolean);
  return parts.length > 0 ? parts.join("; ") : "always";
}

/** A condition that holds anyway is left out. @param {Api.Conditions} when @param {keyof Api.Conditions} name @param {unknown} value @returns {Api.Conditions} */
export function withCondition(when, name, value) {
  const { [name]: _, ...rest } = when;
  const empty = value === undefined || value === "" || value === 0 || (Array.isArray(value) && value.length === 0);
  return empty ? rest : { ...rest, [name]: value };
}

/** What a fault is about, in words. @param {string} field @param {Api.ScopePolicy} policy */
export function policyField(field, policy) {
  const row = /^rows\[(\d+)\]\.?(.*)$/.exec(field);
  if (row) return [`Row ${Number(row[1]) + 1}${policy.rows[Number(row[1])]?.id ? ` (${policy.rows[Number(row[1])].id})` : ""}`, words(row[2])].filter(Boolean).join(", ");
  return words(field).replace(/^./, letter => letter.toUpperCase());
}

/** @param {string} field */
const words = field => field.replace(/\[(\d+)\]/g, (_, index) => ` ${Number(index) + 1}`).replaceAll(".", ", ").replaceAll("_", " ").replaceAll("-", " ");

/** The part of the page a field stands in. @param {string} field */
export function tabOf(field) {
  if (/^(rows)/.test(field)) return "rows";
  if (/^(deductions|caps\.findings)/.test(field)) return "findings";
  if (/^(hazards|wavelength)/.test(field)) return "hazards";
  if (/^told/.test(field)) return "told";
  return /^(weights|letters|caps|closing)/.test(field) ? "grade" : "rows";
}

/** What the weights add up to, exactly: they are given in hundredths at most. @param {Record<string, number>} weights */
export const sumOf = weights => Object.values(weights).reduce((sum, one) => sum + Math.round(one * 100), 0) / 100;

/** A preview's parts put together, letters that changed first. @param {Api.PolicyPreview[]} parts @returns {Api.PreviewedAnswer[]} */
export function letterChanges(parts) {
  const all = parts.flatMap(part => part.changed);
  return [...all.filter(one => one.before.letter !== one.after.letter), ...all.filter(one => one.before.letter === one.after.letter)];
}
