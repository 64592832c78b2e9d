// The measures of a scope policy: how near is too near, the wavelength, and what a patient may be told to expect.
import { changeList, writePolicy } from "../acts/policy.js";
import { html } from "../lib/html.js";
import { plain } from "../lib/numbers.js";
import { listed, named, Word, word } from "../lib/words.js";
import { conditionWords, newEvidence } from "../model/policy.js";
import { NumberField, TextField } from "./field.js";
import { Figure } from "./policy-grade.js";
import { ConditionsEditor, EvidenceEditor, Several } from "./policy-row-editor.js";

/** @typedef {import("./policy-rows.js").Part} Part */

/** @param {Part} props */
export function PolicyLimits({ policy, facts, faults, onAct }) {
  const { conduction_velocity_m_s: velocity, refractory_period_ms: refractory, source } = policy.wavelength;
  const bind = (/** @type {keyof Api.ScopePolicy["wavelength"]} */ name) => ({ name: `wavelength.${name}`, value: policy.wavelength[name], fault: faults.get(`wavelength.${name}`),
    onValue: (/** @type {unknown} */ value) => onAct?.(writePolicy(["wavelength", name], value, "the wavelength")) });
  return html`<div class="scroll" tabindex="0" role="region" aria-label="Hazards"><table data-field="hazards"><caption>How near a lesion may come</caption>
      <thead><tr><th scope="col">Structure</th><th scope="col">Energies</th><th scope="col">Too near within</th><th scope="col">Source</th></tr></thead>
      <tbody>${policy.hazards.map((limit, index) => html`<tr key=${index} data-field=${`hazards[${index}]`}><th scope="row">${Word(limit.structure)}</th><td>${listed((limit.energies || []).map(id => named(facts.energies, id).toLowerCase())) || "any"}</td>
        <td><${Figure} label=${`Millimetres from the ${word(limit.structure)}`} field=${`hazards[${index}].within_mm`} value=${limit.within_mm} faults=${faults} max=${30}
          onValue=${onAct && ((/** @type {number} */ value) => onAct(writePolicy(["hazards", index, "within_mm"], value, "a distance")))} /> mm</td>
        <td>${onAct ? html`<span data-field=${`hazards[${index}].source`}><input aria-label=${`Source for the ${word(limit.structure)}`} maxlength="300" value=${limit.source}
          onInput=${(/** @type {any} */ event) => onAct(writePolicy(["hazards", index, "source"], event.target.value, "a source"))} /></span>` : html`<cite class="small">${limit.source}</cite>`}</td></tr>`)}</tbody></table></div>
    <h2>Wavelength</h2>
    <p>${plain(velocity, 2)} m/s × ${plain(refractory)} ms = ${Math.round(velocity * refractory)} mm: a circuit that is longer can hold a wave.</p>
    ${onAct ? html`<${NumberField} label="Conduction velocity" unit="m/s" step=${0.01} max=${2} ...${bind("conduction_velocity_m_s")} /><${NumberField} label="Refractory period" unit="ms" max=${400} ...${bind("refractory_period_ms")} />
      <${TextField} label="Source of the wavelength" maxlength=${400} ...${bind("source")} />` : html`<p class="small"><cite>${source}</cite></p>`}`;
}

/** @param {{range: Api.Range}} props */
const RangeWords = ({ range }) => html`${range.low} to ${range.high} %`;

/** @param {Part} props */
export function PolicyTold({ policy, facts, faults, onAct }) {
  const told = policy.told;
  const width = (/** @type {"widest_sinus_rhythm" | "widest_pacemaker"} */ name, /** @type {string} */ label) => (onAct
    ? html`<${NumberField} label=${label} unit="% points" min=${1} max=${100} name=${`told.${name}`} value=${told[name]} fault=${faults.get(`told.${name}`)} onValue=${(/** @type {number} */ value) => onAct(writePolicy(["told", name], value, "the widest interval"))} />`
    : html`<p>${label}: ${plain(told[name])} % points.</p>`);
  const change = (/** @type {(list: any[]) => any[]} */ how, /** @type {string} */ says) => onAct?.(changeList(["told", "expect"], how, says));
  return html`<p class="hint">What published figures let a patient expect. The first that fits the scope and the patient applies.</p>
    <div data-field="told.expect">${faults.get("told.expect") && html`<p class="fault">${faults.get("told.expect")}</p>`}</div>
    ${width("widest_sinus_rhythm", "Widest interval for sinus rhythm")}${width("widest_pacemaker", "Widest interval for a pacemaker")}
    <ol class="policy-rows">${told.expect.map((one, index) => html`<li class="policy-row" key=${index} data-field=${`told.expect[${index}]`}>
      <div class="row-rule"><h2>${index + 1}. ${listed(one.scopes.map(id => (id === "none" ? "no ablation" : word(id)))) || "no scope yet"}</h2>
        <dl class="facts left"><dt>When</dt><dd>${conditionWords(one.when, facts.operations)}</dd><dt>Sinus rhythm at 12 months</dt><dd><${RangeWords} range=${one.sinus_rhythm_percent} /></dd>
        <dt>Pacemaker within a year</dt><dd><${RangeWords} range=${one.pacemaker_percent} /></dd></dl></div>
      <div class="row-evidence wide-evidence">${one.evidence.map(each => html`<p class="small">${each.text} <cite>${each.source}</cite></p>`)}</div>
      ${onAct && html`<details class="expect-details"><summary>${`Edit expectation ${index + 1}`}</summary><${ExpectEditor} one=${one} index=${index} facts=${facts} faults=${faults}
        onOne=${(/** @type {Api.Expectation} */ next) => onAct(writePolicy(["told", "expect", index], next, `expectation ${index + 1}`))} onRemove=${() => change(list => list.filter((_, i) => i !== index), "remove an expectation")} /></details>`}
    </li>`)}</ol>
    ${onAct && html`<button type="button" class="quiet" onClick=${() => change(list => [{ scopes: [], when: {}, sinus_rhythm_percent: { low: 0, high: 100 }, pacemaker_percent: { low: 0, high: 100 }, evidence: [newEvidence()] }, ...list], "add an expectation")}>Add an expectation</button>`}`;
}

/** @param {{one: Api.Expectation, index: number, facts: Api.Atrium, faults: Map<string, string>, onOne: (one: Api.Expectation) => void, onRemove: () => void}} props */
function ExpectEditor({ one, index, facts, faults, onOne, onRemove }) {
  const field = `told.expect[${index}]`;
  const bound = (/** @type {"sinus_rhythm_percent" | "pacemaker_percent"} */ name, /** @type {"low" | "high"} */ end, /** @type {string} */ label) => html`<${NumberField} label=${label} unit="%" max=${100} name=${`${field}.${name}.${end}`}
    value=${one[name][end] ?? ""} fault=${faults.get(`${field}.${name}.${end}`)} onValue=${(/** @type {number} */ value) => onOne({ ...one, [name]: { ...one[name], [end]: value } })} />`;
  return html`<div class="row-editor"><div><${Several} legend="Scopes" name=${`${field}.scopes`} ids=${facts.authoring.scopes} value=${one.scopes} fault=${faults.get(`${field}.scopes`)} onValue=${(/** @type {string[]} */ scopes) => onOne({ ...one, scopes })} />
      ${bound("sinus_rhythm_percent", "low", "Sinus rhythm, from")}${bound("sinus_rhythm_percent", "high", "Sinus rhythm, to")}${bound("pacemaker_percent", "low", "Pacemaker, from")}${bound("pacemaker_percent", "high", "Pacemaker, to")}
      <button type="button" class="quiet small-act" onClick=${onRemove}>Remove this expectation</button></div>
    <div><${ConditionsEditor} when=${one.when} field=${`${field}.when`} facts=${facts} faults=${faults} onWhen=${(/** @type {Api.Conditions} */ when) => onOne({ ...one, when })} /></div>
    <div><${EvidenceEditor} list=${one.evidence} field=${field} faults=${faults} onList=${(/** @type {Api.Evidence[]} */ evidence) => onOne({ ...one, evidence })} /></div></div>`;
}
