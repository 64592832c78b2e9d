// Two versions of a scenario side by side, field by field; in a conflict with the choice at each.
import { html } from "../lib/html.js";
import { chosen, differences } from "../model/scenario-difference.js";
import { fieldInWords } from "../model/scenario-draft.js";
import { valueWords } from "../model/scenario-words.js";
import { ChangesTable, ChooseBetween } from "./choose-between.js";

/** @typedef {import("../model/scenario-difference.js").Difference} Difference */
/** @typedef {import("../model/atrium.js").Atrium} Atrium */

/**
 * @param {{mine: Api.ScenarioText, theirs: Api.ScenarioText, base: Api.ScenarioText, by: string, atrium: Atrium, busy: boolean, onChosen: (merged: Api.ScenarioText) => void}} props
 * base: what both began with; by: who saved the newest
 */
export function ScenarioConflict({ mine, theirs, base, by, atrium, busy, onChosen }) {
  const list = differences(mine, theirs, base);
  return html`<${ChooseBetween} what="scenario" by=${by} list=${list.map(one => inWords(one, mine, atrium))} busy=${busy}
    onChosen=${(/** @type {import("./choose-between.js").Choices} */ choices) => onChosen(chosen(mine, theirs, list, choices))} />`;
}

/** @param {Difference} one @param {Api.ScenarioText} scenario @param {Atrium} atrium @returns {import("./choose-between.js").Differing} */
const inWords = (one, scenario, atrium) => ({
  key: one.key, name: wordsOf(one, scenario), changed: one.changed, mine: valueWords(one.field, one.mine, atrium), theirs: valueWords(one.field, one.theirs, atrium) });

/** @param {Difference} one @param {Api.ScenarioText} scenario */
function wordsOf(one, scenario) {
  if (one.title === undefined) return fieldInWords(one.field, scenario);
  const part = one.field.replace(/^(expert|flawed)\[\d+\]\.?/, "").replace(/^plan\./, "").replaceAll("_", " ");
  return [one.title || (one.field.startsWith("expert") ? "Expert plan" : "Flawed plan"), part].filter(Boolean).join(", ");
}

/** What a version changed in the one before it. @param {{now: Api.ScenarioText, before: Api.ScenarioText, atrium: Atrium}} props */
export const Changes = ({ now, before, atrium }) => html`<${ChangesTable} now=${now.version} before=${before.version} list=${differences(now, before).map(one => inWords(one, now, atrium))} />`;
