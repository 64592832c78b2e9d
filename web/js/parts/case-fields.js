// The fields of a case but lesions and steps, in the order of an operation note.
import { dateEntry, today } from "../lib/days.js";
import { html } from "../lib/html.js";
import { counted } from "../lib/numbers.js";
import { capital } from "../lib/words.js";
import { historyAfter } from "../model/case-record.js";
import { CheckField, LongField, NumberField, SelectField, TextField } from "./field.js";
import { Quick } from "./quick.js";

/** @typedef {{record: Api.CaseRecord, facts: Api.Atrium, faults: Map<string, string>, onChange: (change: Partial<Api.CaseRecord>) => void}} Part */

/** @param {Part & {settings: Api.Settings, faculty: Api.Person[]}} props */
export function WhereAndWho({ record, settings, faculty, faults, onChange }) {
  const date = dateEntry(settings.date_precision);
  const sites = settings.sites.map(site => ({ id: site, name: site }));
  const on = (/** @type {string} */ operated_on) => onChange({ operated_on });
  return html`<fieldset class="group"><legend>Where and who</legend>
    <${TextField} label="Operated on" name="operated_on" type=${date.type} hint=${date.hint} max=${date.type === "date" ? today() : undefined}
      value=${record.operated_on} fault=${faults.get("operated_on")} onValue=${on} />
    ${settings.date_precision === "day" && html`<${Quick} label="Operated on" value=${record.operated_on} onValue=${on}
      options=${[0, 1, 2].map(ago => ({ id: daysAgo(ago), name: ["Today", "Yesterday", "2 days ago"][ago] }))} />`}
    <${SelectField} label="Supervisor" name="supervisor" choose="Choose" options=${faculty} value=${record.supervisor} fault=${faults.get("supervisor")}
      onValue=${(/** @type {string} */ supervisor) => onChange({ supervisor })} />
    <${SelectField} label="Site" name="site" choose="Choose" options=${sites} value=${record.site} fault=${faults.get("site")}
      onValue=${(/** @type {string} */ site) => onChange({ site })} />
  </fieldset>`;
}

/** @param {number} days */
const daysAgo = days => { const now = new Date(); return today(new Date(now.getFullYear(), now.getMonth(), now.getDate() - days)); };

const endings = [{ id: "by-itself", name: "By itself" }, { id: "by-cardioversion", name: "By cardioversion" }, { id: "does-not-end", name: "It does not end" }];

/** One tap for the usual answers; any other is typed. @param {number[]} values @param {string} unit @returns {{id: number, name: string}[]} */
const quick = (values, unit) => values.map(value => ({ id: value, name: counted(value, unit) }));

/** @param {Part} props */
export function PatientPart({ record, facts, faults, onChange }) {
  const af = (/** @type {Partial<Api.History>} */ change) => onChange({ af: historyAfter(record.af, change) });
  const faultOf = (/** @type {string} */ field) => faults.get(`af.${field}`);
  const months = (/** @type {number} */ continuous_months) => af({ continuous_months }), days = (/** @type {number} */ longest_episode_days) => af({ longest_episode_days });
  return html`<fieldset class="group" data-field="af"><legend>AF and left atrium</legend>
    ${faults.get("af") && html`<p class="fault">${faults.get("af")}</p>`}
    <${NumberField} label="AF without a break for" name="af.continuous_months" unit="months" hint="0 when in sinus rhythm between episodes." step=${0.5} max=${1200}
      value=${record.af.continuous_months} fault=${faultOf("continuous_months")} onValue=${months} />
    <${Quick} label="AF without a break for" value=${record.af.continuous_months} options=${quick([3, 6, 12, 18, 24, 36, 60], "month")} onValue=${months} />
    ${!(record.af.continuous_months > 0) && html`
      <${NumberField} label="Longest episode" name="af.longest_episode_days" unit="days" step=${0.5} max=${36500} value=${record.af.longest_episode_days}
        fault=${faultOf("longest_episode_days")} onValue=${days} />
      <${Quick} label="Longest episode" value=${record.af.longest_episode_days} options=${quick([1, 2, 5, 14, 30], "day")} onValue=${days} />
      <${SelectField} label="How it ended" name="af.ends" options=${endings} value=${record.af.ends} fault=${faultOf("ends")}
        onValue=${(/** @type {string} */ ends) => af({ ends })} />`}
    <${CheckField} label="Rhythm control still pursued" name="af.rhythm_control_pursued" value=${record.af.rhythm_control_pursued}
      onValue=${(/** @type {boolean} */ rhythm_control_pursued) => af({ rhythm_control_pursued })} />
    <${Quick} label="Left atrial diameter" name="left_atrium_band" shown=${true} options=${facts.left_atrium_bands} value=${record.left_atrium_band} fault=${faults.get("left_atrium_band")}
      onValue=${(/** @type {string} */ left_atrium_band) => onChange({ left_atrium_band })} />
  </fieldset>`;
}

/** @param {Part} props */
export const OperationPart = ({ record, facts, faults, onChange }) => html`<fieldset class="group"><legend>Operation</legend>
  <${SelectField} label="Operation" name="operation" choose="Choose" options=${facts.operations} value=${record.operation} fault=${faults.get("operation")}
    onValue=${(/** @type {string} */ operation) => onChange({ operation })} />
  <${SelectField} label="Approach" name="approach" options=${facts.approaches} value=${record.approach} fault=${faults.get("approach")}
    onValue=${(/** @type {string} */ approach) => onChange({ approach })} />
  <${SelectField} label="Urgency" name="urgency" options=${facts.urgencies} value=${record.urgency} fault=${faults.get("urgency")}
    onValue=${(/** @type {string} */ urgency) => onChange({ urgency })} />
  <${CheckField} label="On bypass" name="on_bypass" value=${record.on_bypass} onValue=${(/** @type {boolean} */ on_bypass) => onChange({ on_bypass })} />
  <${CheckField} label="Left atrium opened" name="left_atrium_opened" value=${record.left_atrium_opened}
    onValue=${(/** @type {boolean} */ left_atrium_opened) => onChange({ left_atrium_opened })} />
</fieldset>`;

/** The words for who performed a step, as the person entering says them. */
export const performers = [{ id: "trainee", name: "me" }, { id: "trainee-with-help", name: "with help" }, { id: "supervisor", name: "supervisor" }];

/** The name of a step. @param {import("../model/atrium.js").Atrium} atrium @param {string} step */
export const stepName = (atrium, step) => (step === "left-appendage" ? "Left appendage" : atrium.lesion(step)?.name || capital(step.replace("-", " ")));

/** @param {Part & {children?: unknown}} props children: what was found in the note */
export const EventsPart = ({ record, facts, faults, onChange, children }) => html`<fieldset class="group" data-field="events"><legend>Afterwards</legend>
  <p class="hint">Events up to 30 days; none ticked means none.</p>
  ${faults.get("events") && html`<p class="fault">${faults.get("events")}</p>`}
  ${facts.events.map(event => html`<${CheckField} key=${event.id} label=${event.name} value=${record.events.includes(event.id)}
    onValue=${(/** @type {boolean} */ on) => onChange({ events: on ? [...record.events, event.id] : record.events.filter(id => id !== event.id) })} />`)}
  <${LongField} label="Note" name="note" hint="No names, numbers, dates or places of the patient." value=${record.note || ""} fault=${faults.get("note")}
    onValue=${(/** @type {string} */ note) => onChange({ note })} />
  ${children}
</fieldset>`;
