// The fields of a scenario: what the trainee reads, the patient, the operation and what is asked.
import { toggleAsk, writeField } from "../acts/scenario.js";
import { html } from "../lib/html.js";
import { capital, named, Word, word } from "../lib/words.js";
import { askWords } from "../model/scenario-draft.js";
import { CheckField, LongField, NumberField, SelectField, TextField } from "./field.js";

/** @typedef {{scenario: Api.ScenarioText, facts: Api.Atrium, faults: Map<string, string>, onAct: (act: import("../acts/scenario.js").ScenarioAct) => void}} Part */

/** What every field of the form shares: its label, its value, its fault and how it is changed. @param {Part} part @param {string} field @param {string} label */
function bound({ scenario, faults, onAct }, field, label) {
  const path = field.split(".");
  const value = path.reduce((at, name) => at?.[name], /** @type {any} */ (scenario));
  return { label, name: field, value, fault: faults.get(field), onValue: (/** @type {unknown} */ next) => onAct(writeField(path, next, label.toLowerCase())) };
}

/** A number that is not there yet is an empty field. @param {Part} part @param {string} field @param {string} label */
const number = (part, field, label) => ({ ...bound(part, field, label), value: bound(part, field, label).value || "" });

/** @param {{bind: {label: string, name: string, value: any, fault?: string, onValue: (value: any) => void}}} props */
const Fact = ({ bind: { fault, value, name, ...bind } }) => html`<div class="fact" data-field=${name}><${CheckField} ...${bind} name=${name} value=${Boolean(value)} />
  ${fault && html`<p class="fault">${fault}</p>`}</div>`;

/** @param {string[]} ids @param {Api.Named[]} [known] */
const options = (ids, known) => ids.map(id => ({ id, name: capital(named(known, id)) }));

/** @param {Part} part */
export const WordsPart = part => html`<fieldset class="group"><legend>What the trainee reads</legend>
  <${TextField} ...${bound(part, "title", "Title")} maxlength=${120} />
  <div class="wide-field"><${LongField} ...${bound(part, "vignette", "Vignette")} rows=${9} maxlength=${4000} hint="A person, a complaint, a decision. Invented, and it must not name the AF pattern: that is the trainee's to see." /></div>
  <${TextField} ...${bound(part, "author", "Author named in the file")} maxlength=${120} hint="Whoever wrote it, or the group. Who may review it follows from the accounts, not from this." />
</fieldset>`;

const endings = ["by-itself", "by-cardioversion", "does-not-end"];
const pursued = [{ id: "yes", name: "Still pursued" }, { id: "no", name: "Given up, by patient and clinicians" }];

/** @param {Part & {pattern?: Api.Derivation, stale: boolean}} props */
export function PatientPart({ pattern, stale, ...part }) {
  const { authoring } = part.facts, rhythm = bound(part, "patient.af.rhythm_control_pursued", "Rhythm control");
  return html`<fieldset class="group"><legend>AF</legend>
      <${NumberField} ...${number(part, "patient.af.continuous_months", "AF without a break for")} unit="months" step=${0.5} max=${600} hint="0 when in sinus rhythm between episodes." />
      <${NumberField} ...${number(part, "patient.af.longest_episode_days", "Longest episode")} unit="days" step=${0.5} max=${18262} hint="0 when only the continuous AF is known." />
      <${SelectField} ...${bound(part, "patient.af.ends", "How it ends")} options=${options(endings, endings.map(id => ({ id, name: word(id) })))} />
      <${SelectField} ...${rhythm} value=${rhythm.value ? "yes" : "no"} options=${pursued} onValue=${(/** @type {string} */ id) => rhythm.onValue(id === "yes")} />
      <div class="derived" data-field="patient.af" aria-live="polite"><p><span class="strong">AF pattern: ${pattern ? word(pattern.pattern) : "not derived yet"}</span>${stale && " (being derived again)"}</p>
        <p class="small">${pattern ? html`${capital(pattern.rule)}. <cite>${pattern.source}</cite>` : "It follows from the four fields above by rule, and is never typed."}</p>
        ${part.faults.get("patient.af") && html`<p class="fault">${part.faults.get("patient.af")}</p>`}</div>
    </fieldset>
    <fieldset class="group"><legend>Patient</legend>
      <${NumberField} ...${number(part, "patient.age", "Age")} unit="years" min=${18} max=${110} />
      <${NumberField} ...${number(part, "patient.left_atrium_mm", "Left atrial diameter")} unit="mm" min=${25} max=${90} />
      <${NumberField} ...${number(part, "patient.right_atrium_mm", "Right atrial diameter")} unit="mm" max=${90} hint="Leave empty for a right atrium of normal size." />
      <${NumberField} ...${number(part, "patient.ejection_fraction", "Ejection fraction")} unit="%" min=${5} max=${85} />
      <${SelectField} ...${bound(part, "patient.mitral_regurgitation", "Mitral regurgitation")} options=${options(authoring.mitral_regurgitations)} choose="Choose" />
      <${SelectField} ...${bound(part, "patient.earlier_ablation", "Earlier ablation")} options=${options(authoring.earlier_ablations)} />
      <${StrokeRisk} ...${part} />
      <${Fact} bind=${bound(part, "patient.thrombus_on_imaging", "Thrombus on imaging")} />
      <${Fact} bind=${bound(part, "patient.sinus_node_disease", "Sinus node disease")} />
      <${Fact} bind=${bound(part, "patient.pacemaker", "Pacemaker in place")} />
    </fieldset>`;
}

/** @param {Part} part */
function StrokeRisk(part) {
  const { value, fault, onValue } = bound(part, "patient.stroke_risk_items", "stroke risk");
  const order = part.facts.authoring.stroke_risk_items;
  const toggle = (/** @type {string} */ item) => onValue(order.filter(one => (one === item) !== value.includes(one)));
  return html`<fieldset class="checks" data-field="patient.stroke_risk_items"><legend>Stroke risk items</legend>
    ${order.map(item => html`<${CheckField} key=${item} label=${Word(item)} value=${value.includes(item)} onValue=${() => toggle(item)} />`)}
    ${fault && html`<p class="fault">${fault}</p>`}
  </fieldset>`;
}

/** @param {Part} part */
export const OperationPart = part => html`<fieldset class="group"><legend>Operation</legend>
  <${SelectField} ...${bound(part, "operation.primary", "Operation")} options=${options(part.facts.authoring.primaries, part.facts.operations)} choose="Choose" />
  <${SelectField} ...${bound(part, "operation.urgency", "Urgency")} options=${options(part.facts.authoring.urgencies, part.facts.urgencies)} />
  <${SelectField} ...${bound(part, "operation.approach", "Approach")} options=${options(part.facts.authoring.approaches, part.facts.approaches)} />
  <${Fact} bind=${bound(part, "operation.on_bypass", "On bypass")} />
  <${Fact} bind=${bound(part, "operation.left_atrium_opened", "Left atrium opened")} />
  <${Fact} bind=${bound(part, "operation.tricuspid_work", "Work on the tricuspid valve")} />
  <${Fact} bind=${bound(part, "operation.redo_chest", "Chest opened before")} />
</fieldset>`;

/** @param {Part} part */
export const AsksPart = part => html`<fieldset class="group" data-field="asks"><legend>Decisions asked</legend>
  ${part.faults.get("asks") && html`<p class="fault">${part.faults.get("asks")}</p>`}
  ${part.facts.authoring.asks.map(ask => html`<${CheckField} key=${ask} label=${askWords[ask] || Word(ask)} value=${part.scenario.asks.includes(ask)}
    onValue=${() => part.onAct(toggleAsk(ask, part.facts.authoring.asks, "the decisions asked"))} />`)}
  <${NumberField} ...${number(part, "minutes_limit", "Time limit of a test")} unit="minutes" max=${240} hint="Leave empty to let a test take as long as one likes." />
</fieldset>`;
