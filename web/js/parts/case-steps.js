// Who performed each step of a case: one tap each, one for all that nobody was named for.
import { announce } from "../lib/announce.js";
import { html } from "../lib/html.js";
import { counted } from "../lib/numbers.js";
import { listed } from "../lib/words.js";
import { restByMe } from "../model/case-record.js";
import { performers, stepName } from "./case-fields.js";
import { Segments } from "./choices.js";

/** @param {import("./case-fields.js").Part & {atrium: import("../model/atrium.js").Atrium, settings: Api.Settings}} props */
export function StepsPart({ record, atrium, settings, faults, onChange }) {
  const unsaid = record.steps.filter(step => !step.performed_by).length;
  const say = (/** @type {number} */ i) => (/** @type {string} */ performed_by) => onChange({ steps: record.steps.map((one, k) => (k === i ? { ...one, performed_by } : one)) });
  const rest = () => { onChange({ steps: restByMe(record).steps }); announce(`${counted(unsaid, "step")} performed by you.`); };
  return html`<fieldset class="group" data-field="steps"><legend>Who performed each step</legend>
    ${faults.get("steps") && html`<p class="fault">${faults.get("steps")}</p>`}
    ${record.steps.length === 0 && html`<p class="small">Steps appear as you choose lesions.</p>`}
    ${record.steps.length > 0 && html`<div class="segments-list">${record.steps.map((step, i) => html`<${Segments} key=${step.step} label=${stepName(atrium, step.step)} options=${performers} value=${step.performed_by} onValue=${say(i)} />`)}</div>
      <p class="hint">${unsaid === 0 ? "Every step has someone." : `${counted(unsaid, "step")} without anyone yet. Your supervisor gives an account of their own.`}</p>
      <p class="hint">${keyWords(record, atrium, settings.role_rule)}</p>
      <button type="button" class="quiet" disabled=${unsaid === 0} onClick=${rest}>All ${unsaid < record.steps.length ? "the rest " : ""}by me</button>`}
  </fieldset>`;
}

/** Which of the steps decide about the role, by the programme's rule. @param {Api.CaseRecord} record @param {import("../model/atrium.js").Atrium} atrium @param {Api.RoleRule} [rule] */
function keyWords(record, atrium, rule) {
  const keys = record.steps.filter(step => rule?.key_steps.includes(step.step)).map(step => stepName(atrium, step.step).toLowerCase());
  if (!rule) return "";
  return `${keys.length === 0 ? "None of these is a key step" : `Key steps among them: ${listed(keys)}`} (role rule ${rule.version}).`;
}
