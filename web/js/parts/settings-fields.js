// The fields of a programme's settings.
import { useState } from "preact/hooks";
import { html } from "../lib/html.js";
import { monthsIn, sharePercent } from "../model/settings.js";
import { CheckField, NumberField, TextField } from "./field.js";

/** @typedef {{settings: Api.Settings, faults: Map<string, string>, onChange: (change: Partial<Api.Settings>) => void}} Part */

/** @param {Part} props */
export function SitesPart({ settings, faults, onChange }) {
  const sites = settings.sites;
  return html`<fieldset class="group" data-field="sites"><legend>Sites</legend>
    ${faults.get("sites") && html`<p class="fault">${faults.get("sites")}</p>`}
    ${sites.map((site, i) => html`<div class="site-row" key=${i}><${TextField} label=${`Site ${i + 1}`} name=${`sites[${i}]`} maxlength=${80} value=${site} fault=${faults.get(`sites[${i}]`)}
      onValue=${(/** @type {string} */ to) => onChange({ sites: sites.map((one, k) => (k === i ? to : one)) })} />
      <button type="button" class="quiet" aria-label=${`Remove site ${i + 1}`} onClick=${() => onChange({ sites: sites.filter((_, k) => k !== i) })}>Remove</button></div>`)}
    <button type="button" class="quiet" onClick=${() => onChange({ sites: [...sites, ""] })}>Add a site</button>
    <p class="hint">A site that is removed stays on the cases that name it; new cases cannot choose it any more.</p>
  </fieldset>`;
}

/** @param {Part} props */
export const SigningPart = ({ settings, faults, onChange }) => html`<fieldset class="group"><legend>Dates and signing</legend>
  <p><span class="strong">Operation dates are kept to the ${settings.date_precision}.</span> That was chosen when the programme began and stays: the dates on record have that precision.</p>
  <${NumberField} label="Late recall after" name="late_recall_days" unit="days" hint="A sign-off later than that after the operation is marked." min=${1} max=${365} value=${settings.late_recall_days} fault=${faults.get("late_recall_days")}
    onValue=${(/** @type {number} */ days) => onChange({ late_recall_days: Math.round(days) })} />
  <${NumberField} label="A proof of identity carries signatures for" name="signing_minutes" unit="minutes" min=${1} max=${720} value=${settings.signing_minutes || 0} fault=${faults.get("signing_minutes")}
    onValue=${(/** @type {number} */ minutes) => onChange({ signing_minutes: Math.round(minutes) })} />
  <${NumberField} label="Hide counts below" name="small_cells" unit="cases" hint="In reports that leave the programme." min=${3} max=${50} value=${settings.small_cells || 5} fault=${faults.get("small_cells")}
    onValue=${(/** @type {number} */ cells) => onChange({ small_cells: Math.round(cells) })} />
</fieldset>`;

/** @param {Part & {facts: Api.Atrium}} props */
export function RolePart({ settings, facts, faults, onChange }) {
  const rule = /** @type {Api.RoleRule} */ (settings.role_rule);
  const set = (/** @type {Partial<Api.RoleRule>} */ change) => onChange({ role_rule: { ...rule, ...change } });
  const all = [...facts.lesions.map(lesion => lesion.id), "left-appendage"]; // the order of the catalogue, whatever is ticked first
  const tick = (/** @type {string} */ id) => (/** @type {boolean} */ on) => set({ key_steps: all.filter(one => (one === id ? on : rule.key_steps.includes(one))) });
  const box = (/** @type {string} */ id, /** @type {string} */ name) => html`<${CheckField} key=${id} label=${name} value=${rule.key_steps.includes(id)} onValue=${tick(id)} />`;
  return html`<fieldset class="group" data-field="role_rule"><legend>Who is the primary surgeon</legend>
    <p class="hint">The trainee performed every key step that was done, and at least this share of all steps.</p>
    <${NumberField} label="Share of all steps" name="role_rule.share_of_steps" unit="%" max=${100} value=${sharePercent(rule.share_of_steps)} fault=${faults.get("role_rule.share_of_steps")}
      onValue=${(/** @type {number} */ percent) => set({ share_of_steps: Math.round(percent) / 100 })} />
    <${CheckField} label="A step performed with help counts as the trainee's" name="role_rule.help_counts" value=${rule.help_counts} onValue=${(/** @type {boolean} */ help_counts) => set({ help_counts })} />
    <div data-field="role_rule.key_steps">
      ${faults.get("role_rule.key_steps") && html`<p class="fault">${faults.get("role_rule.key_steps")}</p>`}
      ${facts.chambers.map(chamber => html`<div role="group" aria-label=${`Key steps: ${chamber.name}`} key=${chamber.chamber}><p class="quick-label">Key steps: ${chamber.name}</p>
        ${facts.lesions.filter(lesion => lesion.chamber === chamber.chamber).map(lesion => box(lesion.id, lesion.name))}
        ${chamber.chamber === "left-atrium" && box("left-appendage", "Left appendage")}</div>`)}
    </div>
  </fieldset>`;
}

/** @param {Part} props */
export function FollowUpPart({ settings, faults, onChange }) {
  const rule = /** @type {Api.FollowUpRule} */ (settings.follow_up);
  const [months, setMonths] = useState(rule.months.join(", "));
  const set = (/** @type {Partial<Api.FollowUpRule>} */ change) => onChange({ follow_up: { ...rule, ...change } });
  const number = (/** @type {"blanking_days" | "least_hours" | "yearly_until_year" | "late_after_days" | "remind_before_days"} */ name, /** @type {string} */ label, /** @type {string} */ unit, /** @type {number} */ max, hint = "") => html`<${NumberField}
    label=${label} name=${`follow_up.${name}`} unit=${unit} max=${max} hint=${hint} value=${rule[name]} fault=${faults.get(`follow_up.${name}`)} onValue=${(/** @type {number} */ value) => set({ [name]: Math.round(value) })} />`;
  return html`<fieldset class="group" data-field="follow_up"><legend>Follow-up and success</legend>
    <${TextField} label="Due at months" name="follow_up.months" hint="Rising, with commas between." maxlength=${80} value=${months} fault=${faults.get("follow_up.months")}
      onValue=${(/** @type {string} */ text) => { setMonths(text); set({ months: monthsIn(text) }); }} />
    ${number("yearly_until_year", "Then yearly up to year", "years", 40, "0 for none.")}
    ${number("remind_before_days", "Shown before it is due", "days", 90)}
    ${number("late_after_days", "Late after it was due", "days", 365)}
    ${number("blanking_days", "Blanking", "days", 365, "Arrhythmia before that is not judged.")}
    ${number("least_hours", "Recorded without a break, at least", "hours", 744, "With less, a follow-up without arrhythmia is not judged.")}
    <${CheckField} label="Success counts only off class I and III drugs" name="follow_up.off_antiarrhythmics" value=${rule.off_antiarrhythmics} onValue=${(/** @type {boolean} */ off_antiarrhythmics) => set({ off_antiarrhythmics })} />
    <p class="hint">An episode is any atrial arrhythmia over ${rule.episode_over_seconds} s; the form of a follow-up asks for it in these words, so it stays.</p>
  </fieldset>`;
}
