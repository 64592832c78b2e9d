// The fictional patient and the operation of a scenario.
import { html } from "../lib/html.js";
import { counted, mm, percent } from "../lib/numbers.js";
import { capital, listed, named, word } from "../lib/words.js";

/** @param {{scenario: Api.Scenario, pattern: Api.Derivation, facts: Api.Atrium}} props */
export function PatientFacts({ scenario, pattern, facts }) {
  const { patient, operation } = scenario;
  const yes = (/** @type {boolean | undefined} */ value) => (value ? "yes" : "no");
  return html`
    <h2>Patient</h2>
    <dl class="facts">
      <dt>Age</dt><dd>${patient.age}</dd>
      <dt>AF pattern</dt><dd>${word(pattern.pattern)}</dd>
      ${patient.af.continuous_months > 0 && html`<dt>AF without a break</dt><dd>${counted(patient.af.continuous_months, "month")}</dd>`}
      ${patient.af.longest_episode_days > 0 && html`<dt>Longest episode</dt><dd>${counted(patient.af.longest_episode_days, "day")}, ${word(patient.af.ends)}</dd>`}
      <dt>Rhythm control</dt><dd>${patient.af.rhythm_control_pursued ? "pursued" : "given up"}</dd>
      <dt>Left atrium</dt><dd>${mm(patient.left_atrium_mm)}</dd>
      ${patient.right_atrium_mm ? html`<dt>Right atrium</dt><dd>${mm(patient.right_atrium_mm)}</dd>` : null}
      <dt>Ejection fraction</dt><dd>${percent(patient.ejection_fraction / 100)}</dd>
      <dt>Mitral regurgitation</dt><dd>${word(patient.mitral_regurgitation)}</dd>
      <dt>Stroke risk</dt><dd>${listed((patient.stroke_risk_items || []).map(word)) || "no item"}</dd>
      <dt>Earlier ablation</dt><dd>${word(patient.earlier_ablation || "none")}</dd>
      <dt>Thrombus on imaging</dt><dd>${patient.thrombus_on_imaging ? "yes" : "none"}</dd>
      <dt>Sinus node disease</dt><dd>${patient.sinus_node_disease ? "yes" : "none known"}${patient.pacemaker ? ", pacemaker in place" : ""}</dd>
    </dl>
    <p class="small">${capital(pattern.rule)}. <cite>${pattern.source}</cite></p>
    <h2>Operation</h2>
    <dl class="facts">
      <dt>Primary</dt><dd>${named(facts.operations, operation.primary)}</dd>
      <dt>Urgency</dt><dd>${named(facts.urgencies, operation.urgency)}</dd>
      <dt>Approach</dt><dd>${named(facts.approaches, operation.approach)}</dd>
      <dt>On bypass</dt><dd>${yes(operation.on_bypass)}</dd>
      <dt>Left atrium opened</dt><dd>${yes(operation.left_atrium_opened)}</dd>
      <dt>Tricuspid work</dt><dd>${yes(operation.tricuspid_work)}</dd>
      ${operation.redo_chest && html`<dt>Chest opened before</dt><dd>yes</dd>`}
    </dl>`;
}
