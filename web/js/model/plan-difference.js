// What differs between two drafts of a plan, in words.
import { counted, plain } from "../lib/numbers.js";
import { named } from "../lib/words.js";
import { decisionRows } from "./decisions.js";

/** @typedef {{what: string, mine: string, theirs: string}} Difference */

/** @param {import("./atrium.js").Atrium} atrium @param {Api.Plan} mine @param {Api.Plan} theirs @returns {Difference[]} */
export function planDifferences(atrium, mine, theirs) {
  const a = rowsOf(atrium, mine), b = rowsOf(atrium, theirs);
  return [...new Set([...a.keys(), ...b.keys()])].map(what => ({ what, mine: a.get(what) || "-", theirs: b.get(what) || "-" })).filter(row => row.mine !== row.theirs);
}

/** @param {import("./atrium.js").Atrium} atrium @param {Api.Plan} plan @returns {Map<string, string>} */
function rowsOf(atrium, plan) {
  const { facts } = atrium, names = atrium.namesOf(plan.lesions), { state, method } = plan.left_appendage;
  const rows = new Map([["Ablate", plan.ablate === null ? "not decided" : plan.ablate ? "yes" : "no"]]);
  plan.lesions.forEach((lesion, i) => rows.set(names[i], lesionWords(facts, lesion)));
  rows.set("Left appendage", [named(facts.appendage_states, state), method && named(facts.appendage_methods, method)].filter(Boolean).join(", "));
  for (const [what, says] of decisionRows(facts, plan)) rows.set(what, says);
  if (plan.steps?.length) rows.set("Order of the steps", plan.steps.map(step => named(facts.steps, step)).join("; "));
  if (plan.note) rows.set("Note", plan.note);
  return rows;
}

/** How a lesion is made; where a drawn one runs is told by the middle of its points. @param {Api.Atrium} facts @param {Api.Lesion} lesion */
function lesionWords(facts, { path, energy, applications = 1, block = "not-tested" }) {
  const way = path ? `${path.length} points about (${[0, 1, 2].map(i => plain(path.reduce((sum, at) => sum + at[i], 0) / path.length, 2)).join(", ")})` : "";
  return [way, named(facts.energies, energy), counted(applications, "application"), block !== "not-tested" && named(facts.block_tests, block)].filter(Boolean).join(", ");
}
