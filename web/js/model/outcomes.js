// Which cases stand behind a figure of the outcomes, and what became of a case in words. Pure.
import { plain } from "../lib/numbers.js";
import { capital, word } from "../lib/words.js";

/** @typedef {Api.Outcomes} Outcomes @typedef {{title: string, ids: string[]}} Behind */

/** @param {string} id @param {string} by scope or pattern */
export const groupName = (id, by) => capital(by === "pattern" ? `${word(id)} AF` : word(id));

/** The cases of a figure by its name in the address: freedom.scope.biatrial.failed, pacemaker.box, units.site.Hill, missing.12. @param {Outcomes} all @param {string} of @returns {Behind} */
export function behind(all, of) {
  const [kind, by = "", ...rest] = of.split("."), last = rest.at(-1) ?? "";
  switch (kind) {
    case "freedom": {
      const group = (by === "pattern" ? all.by_pattern : all.by_scope).groups.find(one => one.id === rest[0]), name = groupName(rest[0], by);
      if (last === "failed") return { title: `${name}: no longer free`, ids: group?.failed ?? [] };
      if (last === "without") return { title: `${name}: nothing known of the rhythm`, ids: group?.without ?? [] };
      return { title: `${name}: followed for arrhythmia`, ids: group?.cases ?? [] };
    }
    case "pacemaker": {
      const group = all.pacemakers.groups.find(one => one.id === by), name = groupName(by, "scope");
      return last === "failed" ? { title: `${name}: with a pacemaker`, ids: group?.failed ?? [] } : { title: `${name}: followed for a pacemaker`, ids: group?.cases ?? [] };
    }
    case "units": {
      const unit = (by === "site" ? all.by_site : all.by_supervisor).rows.find(one => one.id === rest.join("."));
      return { title: `${unit?.name ?? "Nobody"}: known at month ${all.month}`, ids: unit?.cases ?? [] };
    }
    case "due": case "missing": {
      const row = all.completeness.find(one => String(one.month) === by && one.month > 0);
      return kind === "due" ? { title: `Due for follow-up at month ${by}`, ids: row?.cases ?? [] } : { title: `No follow-up on record at month ${by}`, ids: row?.missing ?? [] };
    }
  }
  return { title: "No such figure", ids: [] };
}

/** @type {Record<string, string>} */
const events = { "arrhythmia": "arrhythmia again", "on-drug": "on a class I or III drug", "repeat-procedure": "ablated again", "pacemaker": "pacemaker", "death": "died" };

/** @param {number} month */
const at = month => `month ${plain(month)}`;

/** What became of the rhythm. @param {Api.Fate} fate */
export function rhythmWords(fate) {
  if (!fate.known) return "nothing known of the rhythm";
  if (!fate.event) return `free up to ${at(fate.month)}`;
  return `${events[fate.event]}, on record at ${at(fate.month)}, no earlier than ${at(fate.from ?? 0)}`;
}

/** What is known of a pacemaker; nothing where there was none. @param {Api.Fate} fate */
export const pacemakerWords = fate => (fate.event ? `${events[fate.event]} by ${at(fate.month)}` : "");

/** A share with its limits: 62 % (45 to 77). @param {{share: number, low?: number, high?: number}} figure */
export function shareWords({ share, low, high }) {
  const range = low === undefined || high === undefined ? "" : ` (${Math.round(low * 100)} to ${Math.round(high * 100)})`;
  return `${Math.round(share * 100)}\u00a0%${range}`;
}
