// Writing one rule of a scope policy: its conditions, what it asks for, and its evidence.
import { html } from "../lib/html.js";
import { capital, named, Word } from "../lib/words.js";
import { newEvidence, withCondition, withTarget, yesNo } from "../model/policy.js";
import { CheckField, LongField, NumberField, SelectField, TextField } from "./field.js";

/** @typedef {Map<string, string>} Faults */

/** @param {string[]} ids */
const options = ids => ids.map(id => ({ id, name: Word(id) }));

/** @param {{row: Api.PolicyRow, index: number, facts: Api.Atrium, faults: Faults, onRow: (row: Api.PolicyRow) => void}} props */
export function RowEditor({ row, index, facts, faults, onRow }) {
  const field = `rows[${index}]`, { scopes, reasons, letters } = facts.authoring;
  const set = (/** @type {Partial<Api.PolicyRow>} */ change) => onRow({ ...row, ...change });
  const bind = (/** @type {keyof Api.PolicyRow} */ name, /** @type {string} */ label) => ({ label, name: `${field}.${name}`, value: row[name] || "", fault: faults.get(`${field}.${name}`), onValue: (/** @type {any} */ value) => set({ [name]: value }) });
  const some = scopes.filter(id => id !== "none");
  return html`<div class="row-editor">
    <div><${TextField} ...${bind("id", "Id of the row")} maxlength=${80} /><${LongField} ...${bind("says", "What it says")} rows=${3} maxlength=${300} />
      <${SelectField} ...${bind("target", "Target")} options=${scopes.map(id => ({ id, name: id === "none" ? "No ablation" : Word(id) }))} onValue=${(/** @type {string} */ target) => onRow(withTarget(row, target))} />
      ${row.target === "none" ? html`<${Several} legend="Right reasons for no ablation" name=${`${field}.reasons`} ids=${reasons} known=${facts.reasons} value=${row.reasons || []} fault=${faults.get(`${field}.reasons`)} onValue=${(/** @type {string[]} */ next) => set({ reasons: next })} />
        <${SelectField} ...${bind("cap_when_ablated", "Best letter when ablated all the same")} options=${letters.map(id => ({ id, name: id }))} />`
      : html`<${SelectField} ...${bind("minimum", "Acceptable minimum")} options=${options(some)} />
        <${Several} legend="Also accepted" name=${`${field}.also`} ids=${some} value=${row.also || []} onValue=${(/** @type {string[]} */ next) => set({ also: next })} />
        <${Several} legend="Declining is accepted for" name=${`${field}.may_decline`} ids=${reasons} known=${facts.reasons} value=${row.may_decline || []} onValue=${(/** @type {string[]} */ next) => set({ may_decline: next })} />`}</div>
    <div><${ConditionsEditor} when=${row.when} field=${`${field}.when`} facts=${facts} faults=${faults} onWhen=${(/** @type {Api.Conditions} */ when) => set({ when })} /></div>
    <div><${EvidenceEditor} list=${row.evidence} field=${field} faults=${faults} onList=${(/** @type {Api.Evidence[]} */ evidence) => set({ evidence })} /></div>
  </div>`;
}

/** @param {{legend: string, name: string, ids: string[], known?: Api.Named[], value: string[], fault?: string, onValue: (ids: string[]) => void}} props */
export const Several = ({ legend, name, ids, known, value, fault, onValue }) => html`<fieldset class="checks" data-field=${name}><legend>${legend}</legend>
  ${ids.map(id => html`<${CheckField} key=${id} label=${capital(named(known, id))} value=${value.includes(id)} onValue=${() => onValue(ids.filter(one => (one === id) !== value.includes(one)))} />`)}
  ${fault && html`<p class="fault">${fault}</p>`}</fieldset>`;

/** @param {{when: Api.Conditions, field: string, facts: Api.Atrium, faults: Faults, onWhen: (when: Api.Conditions) => void}} props */
export function ConditionsEditor({ when, field, facts, faults, onWhen }) {
  const lists = facts.authoring;
  const set = (/** @type {keyof Api.Conditions} */ name) => (/** @type {unknown} */ value) => onWhen(withCondition(when, name, value));
  const number = (/** @type {"left_atrium_below_mm" | "left_atrium_above_mm"} */ name, /** @type {string} */ label) => html`<${NumberField} label=${label} name=${`${field}.${name}`} unit="mm" max=${120}
    value=${when[name] || ""} fault=${faults.get(`${field}.${name}`)} onValue=${set(name)} />`;
  return html`<p class="strong">Conditions</p><p class="hint">What is left open always holds.</p>
    <${Several} legend="AF pattern" name=${`${field}.patterns`} ids=${lists.patterns} value=${when.patterns || []} onValue=${set("patterns")} />
    ${yesNo.map(([name, label]) => html`<${SelectField} key=${name} label=${label} name=${`${field}.${name}`} value=${when[name] === undefined ? "" : when[name] ? "yes" : "no"} choose="Either"
      options=${[{ id: "yes", name: "Yes" }, { id: "no", name: "No" }]} onValue=${(/** @type {string} */ id) => set(name)(id === "" ? undefined : id === "yes")} />`)}
    ${number("left_atrium_below_mm", "Left atrium below")}${number("left_atrium_above_mm", "Left atrium above")}
    <${SelectField} label="Mitral regurgitation at most" name=${`${field}.mitral_regurgitation_at_most`} value=${when.mitral_regurgitation_at_most || ""} choose="Any" options=${options(lists.mitral_regurgitations)} onValue=${set("mitral_regurgitation_at_most")} />
    <details class="more-conditions"><summary>Operation and urgency</summary>
      <${Several} legend="Operation" name=${`${field}.primary`} ids=${lists.primaries} known=${facts.operations} value=${when.primary || []} onValue=${set("primary")} />
      <${Several} legend="Urgency" name=${`${field}.urgency`} ids=${lists.urgencies} known=${facts.urgencies} value=${when.urgency || []} onValue=${set("urgency")} /></details>`;
}

const sides = [{ id: "for", name: "For" }, { id: "against", name: "Against" }];

/** @param {{list: Api.Evidence[], field: string, faults: Faults, onList: (list: Api.Evidence[]) => void}} props */
export function EvidenceEditor({ list, field, faults, onList }) {
  const set = (/** @type {number} */ index, /** @type {Partial<Api.Evidence>} */ change) => onList(list.map((one, i) => (i === index ? { ...one, ...change } : one)));
  return html`<div data-field=${`${field}.evidence`}><p class="strong">Evidence</p>
    ${faults.get(`${field}.evidence`) && html`<p class="fault">${faults.get(`${field}.evidence`)}</p>`}
    ${list.map((one, index) => {
      const at = `${field}.evidence[${index}]`;
      return html`<div class="item" key=${index}>
        <${SelectField} label=${`Evidence ${index + 1} speaks`} name=${`${at}.for`} options=${sides} value=${one.for ? "for" : "against"} onValue=${(/** @type {string} */ id) => set(index, { for: id === "for" })} />
        <${LongField} label=${`Figure ${index + 1}`} name=${`${at}.text`} rows=${3} maxlength=${400} value=${one.text} fault=${faults.get(`${at}.text`)} onValue=${(/** @type {string} */ text) => set(index, { text })} />
        <${TextField} label=${`Source ${index + 1}`} name=${`${at}.source`} maxlength=${300} value=${one.source} fault=${faults.get(`${at}.source`)} onValue=${(/** @type {string} */ source) => set(index, { source })} />
        <button type="button" class="quiet small-act" onClick=${() => onList(list.filter((_, i) => i !== index))}>${`Remove evidence ${index + 1}`}</button></div>`;
    })}
    <button type="button" class="quiet small-act" onClick=${() => onList([...list, newEvidence()])}>Add evidence</button></div>`;
}
