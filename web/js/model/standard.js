// A programme's standard as a form writes it: requirements by the table of kinds, and where its faults stand.
import { capital, listed } from "../lib/words.js";

/** A text to begin with. @param {number} version */
export const blank = version => `id: our-standard\ntitle: Our standard\nversion: ${version}\nrequirements: []\n`;

/** The text of a standard as its next version; everything else stays. @param {string} yaml @param {number} version */
export const asVersion = (yaml, version) => yaml.replace(/^version:[ \t]*\d+/m, `version: ${version}`);

/** What a requirement holds under a name in the YAML; those of the filter begin with "filter.". @param {Api.Requirement} requirement @param {string} name @returns {any} */
export function valueOf(requirement, name) {
  return name.split(".").reduce((at, part) => at?.[part], /** @type {any} */ (requirement));
}

/** A requirement that holds another value; what is empty is left out. @param {Api.Requirement} requirement @param {string} name @param {unknown} value @returns {Api.Requirement} */
export function withField(requirement, name, value) {
  const [first, rest] = name.split(".");
  if (rest) {
    const filter = without(requirement.filter || {}, rest, value);
    return without(requirement, first, Object.keys(filter).length > 0 ? filter : undefined);
  }
  return without(requirement, first, value);
}

/** @param {Record<string, any>} holder @param {string} name @param {unknown} value @returns {any} */
function without(holder, name, value) {
  const { [name]: _, ...others } = holder;
  const empty = value === undefined || value === "" || value === 0 || value === false || (Array.isArray(value) && value.length === 0);
  return empty ? others : { ...holder, [name]: value };
}

/** A requirement with another value in a field, and without the fields that do not belong beside it. @param {Api.Requirement} requirement @param {Api.RequirementKind} kind @param {string} name @param {unknown} value */
export const chosen = (requirement, kind, name, value) => kind.fields.filter(field => field.except?.field === name && field.except.value === value)
  .reduce((next, field) => withField(next, field.name, undefined), withField(requirement, name, value));

/** The fields that a requirement is asked for. @param {Api.RequirementKind} kind @param {Api.Requirement} requirement */
export const asked = (kind, requirement) => kind.fields.filter(field => !field.except || valueOf(requirement, field.except.field) !== field.except.value);

/** A new requirement of a kind, under an id of its own that reads as words. @param {Api.RequirementKind} kind @param {Api.Requirement[]} among @returns {Api.Requirement} */
export function newRequirement({ kind, name }, among) {
  const words = name.toLowerCase().replace(/[^a-z0-9]+/g, "-");
  let id = words;
  for (let n = 2; among.some(one => one.id === id); n++) id = `${words}-${n}`;
  return { id, kind };
}

/** Ids that somebody types with commas between. @param {string} text */
export const idsIn = text => text.split(/[\s,;]+/).filter(Boolean);

/** A share as somebody reads it, in per cent. @param {number} share */
export const percentOf = share => Math.round(share * 1e6) / 1e4;

/** The faults that stand at a field or inside its list. @param {Api.StandardFault[]} faults @param {string} field */
export const faultAt = (faults, field) => faults.filter(fault => fault.field === field || fault.field.startsWith(`${field}[`)).map(fault => capital(fault.message)).join("; ");

/** The faults of a requirement that none of its fields shows. @param {Api.StandardFault[]} faults @param {number} index @param {string[]} shown */
export function otherFaults(faults, index, shown) {
  const at = `requirements[${index}]`;
  return faults.filter(fault => (fault.field === at || fault.field.startsWith(`${at}.`)) && !shown.some(name => fault.field === `${at}.${name}` || fault.field.startsWith(`${at}.${name}[`)));
}

/** What a fault is about, in words. @param {Api.StandardFault} fault @param {Api.StandardText | null} standard @param {Api.RequirementKind[]} kinds */
export function placeWords({ field, line }, standard, kinds) {
  const inside = /^requirements\[(\d+)\]\.?(.*)$/.exec(field);
  if (!inside) return [line ? `line ${line}` : "", field.replaceAll("_", " ")].filter(Boolean).join(", ");
  const requirement = standard?.requirements[Number(inside[1])], name = inside[2].replace(/\[\d+\]$/, "");
  const label = kinds.find(kind => kind.kind === requirement?.kind)?.fields.find(one => one.name === name)?.label || name.replaceAll("_", " ");
  return [line ? `line ${line}` : "", requirement?.id || `requirement ${Number(inside[1]) + 1}`, label.charAt(0).toLowerCase() + label.slice(1)].filter(Boolean).join(", ");
}

/** Which cases count, in words. @param {Api.RequirementKind} kind @param {Api.Requirement} requirement */
export function casesWords(kind, requirement) {
  const parts = kind.fields.filter(field => field.name.startsWith("filter.") && valueOf(requirement, field.name)).map(field => {
    const value = valueOf(requirement, field.name);
    if (!Array.isArray(value)) return `within ${value} ${field.unit || ""}`.trim();
    return listed(value.map(id => (field.choices?.find(choice => choice.id === id)?.name || id).toLowerCase())).replace(" and ", " or ");
  });
  return parts.length > 0 ? parts.join("; ") : "all signed-off cases";
}

/** @template T @param {T[]} list @param {number} index @param {number} by @returns {T[]} */
export function movedBy(list, index, by) {
  const next = [...list];
  [next[index], next[index + by]] = [next[index + by], next[index]];
  return next;
}
