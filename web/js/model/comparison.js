// Two plans side by side: what is lit on each map, how the differences are grouped, and what they come to in one sentence.
import { counted, plain } from "../lib/numbers.js";
import { listed } from "../lib/words.js";

/** The topics under their headings, in the order of the answer. @type {[heading: string, topics: string[]][]} */
const headings = [
  ["What is decided", ["decision", "scope"]],
  ["The lesions", ["lesion", "delivery"]],
  ["What each leaves", ["effect"]],
  ["Measured", ["measure"]],
  ["The appendage", ["appendage"]],
  ["The order of steps and the wires", ["steps", "pacing"]],
  ["What the patient is told", ["told"]],
  ["What follows the operation", ["aftercare"]],
];

/** @typedef {{difference: Api.Difference, index: number}} Numbered index: in the answer; people see it from 1 */

/**
 * The differences by heading; a heading without any is left out, and what has no heading comes last.
 * @param {Api.Difference[]} differences
 * @returns {{heading: string, items: Numbered[]}[]}
 */
export function grouped(differences) {
  const numbered = differences.map((difference, index) => ({ difference, index }));
  const known = headings.flatMap(([, topics]) => topics);
  const groups = headings.map(([heading, topics]) => ({ heading, items: numbered.filter(({ difference }) => topics.includes(difference.topic)) }));
  groups.push({ heading: "Besides", items: numbered.filter(({ difference }) => !known.includes(difference.topic)) });
  return groups.filter(({ items }) => items.length > 0);
}

/** @typedef {"yours" | "theirs"} Side */

/** Where a difference shows on one of the maps. @param {Api.Difference} difference @param {Side} side */
export const placeOn = (difference, side) => (side === "yours" ? difference.place : difference.their_place);

/**
 * The keys of what is lit on one map when a difference is chosen.
 * @param {Api.Difference | undefined} difference @param {Side} side
 * @returns {Set<string>}
 */
export function litOn(difference, side) {
  const place = difference && placeOn(difference, side);
  const keys = new Set(difference ? ["difference"] : []);
  if (place?.lesion !== undefined) keys.add(`lesion:${place.lesion}`);
  if (place?.circuit !== undefined) keys.add(`circuit:${place.chamber}:${place.circuit}`);
  return keys;
}

/**
 * The mark of the chosen difference on one map.
 * @param {Api.Difference | undefined} difference @param {number} index @param {Side} side
 */
export function markOn(difference, index, side) {
  const place = difference && placeOn(difference, side);
  if (!difference || !place) return [];
  const says = `${difference.about}: ${side === "yours" ? difference.yours : difference.theirs}`;
  return [{ key: "difference", number: index + 1, says, name: `Difference ${index + 1}. ${says}`, chamber: place.chamber, at: place.at }];
}

/**
 * The difference that something on one of the maps belongs to; -1 for none.
 * @param {Api.Difference[]} differences @param {Side} side @param {string} key as the map gives it
 */
export const differenceAt = (differences, side, key) => differences.findIndex(difference => key !== "difference" && litOn(difference, side).has(key));

/** Both grades in one line. @param {Api.Comparison} comparison @param {string} whose 'Your plan' or "Noor Eriksen's plan" */
export function bothGrades({ yours, expert }, whose) {
  const grade = (/** @type {{letter: string, score: number}} */ { letter, score }) => `${letter}, ${plain(score, 2)} of 100`;
  return `${whose} ${grade(yours)}; the expert's ${grade(expert.grade)}.`;
}

/** What the differences come to in one sentence. @param {Api.Difference[]} differences */
export function inShort(differences) {
  if (differences.length === 0) return "No difference: both decide, make and leave the same.";
  const missing = differences.filter(({ topic, yours: mine }) => topic === "lesion" && mine === "not made").map(({ about }) => lower(about));
  const left = differences.filter(({ topic, about, theirs }) => topic === "effect" && about.startsWith("A circuit") && theirs === "closed").length;
  const parts = [counted(differences.length, "difference")];
  if (missing.length > 0) parts.push(`only the expert makes ${listed(missing.map(name => (name.startsWith("a ") ? name : `the ${name}`)))}`);
  if (left > 0) parts.push(`the expert closes ${counted(left, "circuit")} that ${left === 1 ? "is" : "are"} left here`);
  return `${parts.join("; ")}.`;
}

/** @param {string} text */
const lower = text => text.charAt(0).toLowerCase() + text.slice(1);
