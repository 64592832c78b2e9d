// Two versions of one thing side by side: what differs, part by part; in a conflict with the choice at each.
import { useId, useState } from "preact/hooks";
import { html } from "../lib/html.js";
import { counted } from "../lib/numbers.js";
import { firstChoices } from "../model/scenario-difference.js";

/** @typedef {{key: string, name: string, mine: string[], theirs: string[], changed: "mine" | "theirs" | "both"}} Differing a part in lines of words; no line where one version does not have it */
/** @typedef {Map<string, "mine" | "theirs">} Choices */

/** @param {{what: string, by: string, list: Differing[], busy: boolean, onChosen: (choices: Choices) => void}} props what: 'scenario'; by: who saved the newest */
export function ChooseBetween({ what, by, list, busy, onChosen }) {
  const [choices, setChoices] = useState(() => firstChoices(list));
  const choice = (/** @type {Differing} */ one) => choices.get(one.key) || "mine";
  const all = (/** @type {"mine" | "theirs"} */ which) => onChosen(new Map(list.map(({ key }) => [key, which])));
  return html`<section class="notice conflict" role="alert" aria-label="Changed by someone else meanwhile">
    <h2 class="first">This ${what} was saved by ${by || "someone else"} while you were writing</h2>
    <p>Nothing is lost: yours is still here and theirs is saved. ${list.length === 0 ? "Both say the same." : `${counted(list.length, "field")} ${list.length === 1 ? "differs" : "differ"}. What only they changed is taken over unless you choose otherwise.`}</p>
    ${list.map(one => html`<${Choice} key=${one.key} one=${one} value=${choice(one)} onValue=${(/** @type {"mine" | "theirs"} */ which) => setChoices(new Map(choices).set(one.key, which))} />`)}
    <div class="bar"><button type="button" disabled=${busy} onClick=${() => onChosen(new Map(list.map(one => [one.key, choice(one)])))}>Save as chosen</button>
      <button type="button" class="quiet" disabled=${busy} onClick=${() => all("mine")}>Keep all of mine</button>
      <button type="button" class="quiet" disabled=${busy} onClick=${() => all("theirs")}>Take all of theirs</button></div>
  </section>`;
}

/** @type {Record<Differing["changed"], string>} */
const who = { mine: "you changed it", theirs: "they changed it", both: "both changed it" };

/** @param {{one: Differing, value: "mine" | "theirs", onValue: (which: "mine" | "theirs") => void}} props */
function Choice({ one, value, onValue }) {
  const id = useId();
  const side = (/** @type {"mine" | "theirs"} */ which) => html`<label class="rung side">
    <input type="radio" name=${id} checked=${value === which} onChange=${() => onValue(which)} aria-label=${`${one.name}: ${which === "mine" ? "keep mine" : "take theirs"}`} />
    <span><span class="strong">${which === "mine" ? "Keep mine" : "Take theirs"}</span><${Lines} lines=${one[which]} /></span></label>`;
  return html`<fieldset class="difference"><legend>${one.name} <small>${who[one.changed]}</small></legend><div class="sides">${side("mine")}${side("theirs")}</div></fieldset>`;
}

/** @param {{lines: string[]}} props */
function Lines({ lines }) {
  if (lines.length === 0) return html`<span class="value quiet">nothing</span>`;
  return html`<span class="value">${lines.map(line => html`<span class="line">${line}</span>`)}</span>`;
}

/** What a version changed in the one before it. @param {{list: Differing[], now: number, before: number}} props now and before: the versions' numbers */
export function ChangesTable({ list, now, before }) {
  if (list.length === 0) return html`<p>Nothing differs from version ${before}.</p>`;
  return html`<div class="scroll" tabindex="0" role="region" aria-label=${`What changed from version ${before} to ${now}`}><table class="changes">
    <thead><tr><th scope="col">What changed</th><th scope="col">Version ${before}</th><th scope="col">Version ${now}</th></tr></thead>
    <tbody>${list.map(one => html`<tr key=${one.key}><th scope="row">${one.name}</th><td><${Lines} lines=${one.theirs} /></td><td><${Lines} lines=${one.mine} /></td></tr>`)}</tbody>
  </table></div>`;
}
