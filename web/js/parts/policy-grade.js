// How a scope policy weighs a grade: parts, letters, caps, and what open circuits and findings take.
import { leaveOut, writePolicy } from "../acts/policy.js";
import { html } from "../lib/html.js";
import { plain } from "../lib/numbers.js";
import { capital, Word, word } from "../lib/words.js";
import { sumOf } from "../model/policy.js";

/** @typedef {import("./policy-rows.js").Part} Part */

/** The parts of a grade in the order they are shown. */
const partsInOrder = ["scope", "completeness", "safety", "delivery", "aftercare"];

/** A number in a table: a field where it can be changed. @param {{label: string, field: string, value: number, faults: Map<string, string>, max?: number, step?: number, onValue?: (value: number) => void}} props */
export function Figure({ label, field, value, faults, max = 100, step = 0.5, onValue }) {
  if (!onValue) return html`${plain(value, 2)}`;
  const fault = faults.get(field);
  return html`<span data-field=${field}><input type="number" class="figure-entry" aria-label=${label} aria-invalid=${fault ? "true" : undefined} min="0" max=${max} step=${step} value=${value}
    onInput=${(/** @type {any} */ event) => onValue(Number(event.target.value) || 0)} />${fault && html`<span class="fault">${fault}</span>`}</span>`;
}

/** A letter in a table. @param {{label: string, field: string, value: string, letters: string[], faults: Map<string, string>, none?: string, onValue?: (letter: string) => void}} props */
export function LetterEntry({ label, field, value, letters, faults, none, onValue }) {
  if (!onValue) return html`${value || none || ""}`;
  const fault = faults.get(field);
  return html`<span data-field=${field}><select class="figure-entry" aria-label=${label} value=${value} onChange=${(/** @type {any} */ event) => onValue(event.target.value)}>
    ${none && html`<option value="" selected=${!value}>${none}</option>`}${letters.map(letter => html`<option value=${letter} selected=${letter === value}>${letter}</option>`)}</select>${fault && html`<span class="fault">${fault}</span>`}</span>`;
}

/** @param {Part} props */
export function PolicyGrade({ policy, facts, faults, onAct }) {
  const { letters } = facts.authoring;
  const set = (/** @type {(string | number)[]} */ path, /** @type {string} */ name) => onAct && ((/** @type {unknown} */ value) => onAct(writePolicy(path, value, name)));
  const caps = /** @type {[keyof Api.ScopePolicy["caps"], string][]} */ ([["at_minimum", "At the acceptable minimum"], ["below_minimum", "Below it"], ["critical", "With a critical finding"], ["floor_when_safe", "At least, when nothing is unsafe"]]);
  return html`<div class="two policy-grade">
    <div><table><caption>Points of each part</caption><thead><tr><th scope="col">Part</th><th scope="col">Points</th></tr></thead>
      <tbody>${partsInOrder.filter(part => part in policy.weights).map(part => html`<tr key=${part}><th scope="row">${capital(word(part))}</th><td><${Figure} label=${`Points of ${word(part)}`} field=${`weights.${part}`} value=${policy.weights[part]}
        faults=${faults} onValue=${set(["weights", part], "a weight")} /></td></tr>`)}</tbody>
      <tfoot><tr><th scope="row">Together</th><td data-field="weights">${plain(sumOf(policy.weights), 2)} of 100${faults.get("weights") && html`<p class="fault">${faults.get("weights")}</p>`}</td></tr></tfoot></table>
      <table><caption>Best letters whatever the score</caption><thead><tr><th scope="col">Plan</th><th scope="col">Letter</th></tr></thead>
      <tbody>${caps.map(([name, says]) => html`<tr key=${name}><th scope="row">${says}</th><td><${LetterEntry} label=${says} field=${`caps.${name}`} value=${policy.caps[name] || ""} letters=${letters} faults=${faults}
        none=${name === "floor_when_safe" ? "none" : undefined} onValue=${set(["caps", name], "a cap")} /></td></tr>`)}</tbody></table></div>
    <div><table data-field="letters"><caption>Letters</caption><thead><tr><th scope="col">Letter</th><th scope="col">From a score of</th></tr></thead>
      <tbody>${policy.letters.map((cut, index) => html`<tr key=${index} data-field=${`letters[${index}]`}><th scope="row">${cut.letter}</th><td><${Figure} label=${`Score for ${cut.letter}`} field=${`letters[${index}].at_least`} value=${cut.at_least}
        faults=${faults} onValue=${set(["letters", index, "at_least"], `the score for ${cut.letter}`)} />${faults.get(`letters[${index}]`) && html`<p class="fault">${faults.get(`letters[${index}]`)}</p>`}</td></tr>`)}</tbody></table>
      ${faults.get("letters") && html`<p class="fault">${faults.get("letters")}</p>`}
      <table><caption>Circuits left open: ${plain(policy.closing.points, 2)} points when nothing is closed, shared out by these proportions</caption><thead><tr><th scope="col">What should be closed</th><th scope="col">Share</th></tr></thead>
      <tbody><tr><th scope="row">All points</th><td><${Figure} label="Points for open circuits" field="closing.points" value=${policy.closing.points} faults=${faults} onValue=${set(["closing", "points"], "the points for open circuits")} /></td></tr>
        ${Object.entries(policy.closing.shares).map(([goal, share]) => html`<tr key=${goal}><th scope="row">${Word(goal)}</th><td><${Figure} label=${`Share of ${word(goal)}`} field=${`closing.shares.${goal}`} value=${share} faults=${faults}
          onValue=${set(["closing", "shares", goal], "a share")} /></td></tr>`)}</tbody></table></div>
  </div>`;
}

/** @param {Part} props */
export function PolicyFindings({ policy, facts, faults, onAct }) {
  const { codes, letters } = facts.authoring, caps = policy.caps.findings || {};
  const known = codes.filter(one => one.code in policy.deductions || one.code in caps);
  const rest = Object.keys(policy.deductions).filter(code => !known.some(one => one.code === code)).map(code => ({ code, part: "scope", severity: "" }));
  const all = [...known, ...rest], parts = [...new Set(all.map(one => one.part))];
  const cap = (/** @type {string} */ code) => onAct && ((/** @type {string} */ letter) => onAct(letter ? writePolicy(["caps", "findings"], { ...caps, [code]: letter }, "a cap") : leaveOut(["caps", "findings", code], "a cap")));
  return html`<p class="hint">What each finding takes, and the best letter a plan with it can get whatever its score.</p>
    ${parts.map(part => html`<div class="scroll" tabindex="0" role="region" aria-label=${Word(part)} key=${part}><table class="policy-findings"><caption>${Word(part)}</caption>
      <thead><tr><th scope="col">Finding</th><th scope="col">Severity</th><th scope="col">Points</th><th scope="col">Best letter</th></tr></thead>
      <tbody>${all.filter(one => one.part === part).map(({ code, severity }) => html`<tr key=${code}><th scope="row">${Word(code)}</th><td>${severity || "surcharge"}</td>
        <td>${code in policy.deductions ? html`<${Figure} label=${`Points of ${word(code)}`} field=${`deductions.${code}`} value=${policy.deductions[code]} faults=${faults}
          onValue=${onAct && ((/** @type {number} */ value) => onAct(writePolicy(["deductions", code], value, `the points of ${word(code)}`)))} />` : "by what is open"}</td>
        <td><${LetterEntry} label=${`Best letter with ${word(code)}`} field=${`caps.findings.${code}`} value=${caps[code] || ""} letters=${letters} faults=${faults} none="any" onValue=${cap(code)} /></td></tr>`)}</tbody></table></div>`)}`;
}
