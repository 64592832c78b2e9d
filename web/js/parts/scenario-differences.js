// Two versions of a scenario side by side, field by field; in a conflict with the choice at each.
import { useId, useState } from "preact/hooks";
import { html } from "../lib/html.js";
import { counted } from "../lib/numbers.js";
import { chosen, differences, firstChoices } from "../model/scenario-difference.js";
import { fieldInWords } from "../model/scenario-draft.js";
import { valueWords } from "../model/scenario-words.js";

/** @typedef {import("../model/scenario-difference.js").Difference} Difference */

/**
 * @param {{mine: Api.ScenarioText, theirs: Api.ScenarioText, base: Api.ScenarioText, by: string, atrium: import("../model/atrium.js").Atrium, busy: boolean, onChosen: (merged: Api.ScenarioText) => void}} props
 * base: what both began with; by: who saved the newest
 */
export function ScenarioConflict({ mine, theirs, base, by, atrium, busy, onChosen }) {
  const list = differences(mine, theirs, base);
  const [choices, setChoices] = useState(() => firstChoices(list));
  const choice = (/** @type {Difference} */ one) => choices.get(one.key) || "mine";
  const all = (/** @type {"mine" | "theirs"} */ which) => onChosen(chosen(mine, theirs, list, new Map(list.map(({ key }) => [key, which]))));
  return html`<section class="notice conflict" role="alert" aria-label="Changed by someone else meanwhile">
    <h2 class="first">This scenario was saved by ${by || "someone else"} while you were writing</h2>
    <p>Nothing is lost: yours is still here and theirs is saved. ${list.length === 0 ? "Both say the same." : `${counted(list.length, "field")} ${list.length === 1 ? "differs" : "differ"}. What only they changed is taken over unless you choose otherwise.`}</p>
    ${list.map(one => html`<${Choice} key=${one.key} one=${one} mine=${mine} atrium=${atrium} value=${choice(one)}
      onValue=${(/** @type {"mine" | "theirs"} */ which) => setChoices(new Map(choices).set(one.key, which))} />`)}
    <div class="bar"><button type="button" disabled=${busy} onClick=${() => onChosen(chosen(mine, theirs, list, new Map(list.map(one => [one.key, choice(one)]))))}>Save as chosen</button>
      <button type="button" class="quiet" disabled=${busy} onClick=${() => all("mine")}>Keep all of mine</button>
      <button type="button" class="quiet" disabled=${busy} onClick=${() => all("theirs")}>Take all of theirs</button></div>
  </section>`;
}

/** @type {Record<Difference["changed"], string>} */
const who = { mine: "you changed it", theirs: "they changed it", both: "both changed it" };

/** @param {{one: Difference, mine: Api.ScenarioText, atrium: import("../model/atrium.js").Atrium, value: "mine" | "theirs", onValue: (which: "mine" | "theirs") => void}} props */
function Choice({ one, mine, atrium, value, onValue }) {
  const id = useId(), name = wordsOf(one, mine);
  const side = (/** @type {"mine" | "theirs"} */ which) => html`<label class="rung side">
    <input type="radio" name=${id} checked=${value === which} onChange=${() => onValue(which)} aria-label=${`${name}: ${which === "mine" ? "keep mine" : "take theirs"}`} />
    <span><span class="strong">${which === "mine" ? "Keep mine" : "Take theirs"}</span><${Value} field=${one.field} value=${one[which]} atrium=${atrium} /></span></label>`;
  return html`<fieldset class="difference"><legend>${name} <small>${who[one.changed]}</small></legend><div class="sides">${side("mine")}${side("theirs")}</div></fieldset>`;
}

/** @param {Difference} one @param {Api.ScenarioText} scenario */
function wordsOf(one, scenario) {
  if (one.title === undefined) return fieldInWords(one.field, scenario);
  const part = one.field.replace(/^(expert|flawed)\[\d+\]\.?/, "").replace(/^plan\./, "").replaceAll("_", " ");
  return [one.title || (one.field.startsWith("expert") ? "Expert plan" : "Flawed plan"), part].filter(Boolean).join(", ");
}

/** @param {{field: string, value: unknown, atrium: import("../model/atrium.js").Atrium}} props */
function Value({ field, value, atrium }) {
  const lines = valueWords(field, value, atrium);
  if (lines.length === 0) return html`<span class="value quiet">nothing</span>`;
  return html`<span class="value">${lines.map(line => html`<span class="line">${line}</span>`)}</span>`;
}

/** What a version changed in the one before it. @param {{now: Api.ScenarioText, before: Api.ScenarioText, atrium: import("../model/atrium.js").Atrium}} props */
export function Changes({ now, before, atrium }) {
  const list = differences(now, before);
  if (list.length === 0) return html`<p>Nothing differs from version ${before.version}.</p>`;
  return html`<div class="scroll" tabindex="0" role="region" aria-label="What changed"><table class="changes">
    <thead><tr><th scope="col">What changed</th><th scope="col">Version ${before.version}</th><th scope="col">Version ${now.version}</th></tr></thead>
    <tbody>${list.map(one => html`<tr key=${one.key}><th scope="row">${wordsOf(one, now)}</th><td><${Value} field=${one.field} value=${one.theirs} atrium=${atrium} /></td><td><${Value}
      field=${one.field} value=${one.mine} atrium=${atrium} /></td></tr>`)}</tbody>
  </table></div>`;
}
