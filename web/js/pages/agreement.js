// The cases behind a number of the two accounts: of each, what the trainee says and what the supervisor saw, step by step.
import { dayWords, quarterWords } from "../lib/days.js";
import { html } from "../lib/html.js";
import { navigate } from "../lib/navigate.js";
import { counted } from "../lib/numbers.js";
import { useResource } from "../lib/resource.js";
import { at, session } from "../lib/session.js";
import { named, Word, word } from "../lib/words.js";
import { behind, ofs, stepsBehind } from "../model/agreement.js";
import { agreementPath } from "../parts/agreement.js";
import { stepName } from "../parts/case-fields.js";
import { title } from "../parts/case-rows.js";
import { Caution } from "../parts/caution.js";
import { SelectField } from "../parts/field.js";
import { Page } from "../parts/page.js";
import { useAtrium } from "../parts/use-atrium.js";
import { Empty, Show } from "../parts/waiting.js";

/** @typedef {import("../model/atrium.js").Atrium} Atrium */

/** @param {{params: Record<string, string>, query: URLSearchParams}} props without a trainee in the address it is the whole programme's */
export function AgreementPage({ params, query }) {
  const trainee = params.trainee || "";
  const agreement = useResource(at(trainee ? `/trainees/${encodeURIComponent(trainee)}/agreement` : "/agreement"));
  const atrium = useAtrium();
  const read = /** @type {Api.Agreement | undefined} */ (agreement.data);
  const own = trainee === session.value?.person.id;
  const of = ofs.find(one => one.id === query.get("of")) || ofs[0], quarter = query.get("quarter") || "";
  const go = (/** @type {{of?: string, quarter?: string}} */ to) => navigate(agreementPath(trainee, { of: of.id, quarter, ...to }), { replace: true });
  return html`<${Page} title="Two accounts" lead=${trainee ? own ? "Your own accounts and your supervisors'." : read?.trainee?.name : "All trainees of the programme."} kind="narrow-page">
    <${Show} of=${agreement} what="the agreement">${(/** @type {Api.Agreement | Api.ProgrammeAgreement} */ shown) => html`
      <${Show} of=${atrium} what="the catalogue">${(/** @type {Atrium} */ shape) => html`
        <${SelectField} label="Cases behind" options=${ofs.map(({ id, differ }) => ({ id, name: differ }))} value=${of.id} onValue=${(/** @type {string} */ id) => go({ of: id })} />
        ${shown.periods.length > 1 && html`<${SelectField} label="Signed in" options=${[{ id: "", name: "All quarters" }, ...shown.periods.map(one => ({ id: one.quarter, name: quarterWords(one.quarter) }))]}
          value=${quarter} onValue=${(/** @type {string} */ id) => go({ quarter: id })} />`}
        <${Cases} cases=${behind(shown.differing, of.id, quarter)} of=${of.id} names=${namesOf(shown)} atrium=${shape} />
        <p><a href=${trainee ? own ? "/standing" : `/trainees/${encodeURIComponent(trainee)}/standing` : "/cohort"}>${trainee ? "Standing" : "Cohort"}</a></p>
        <${Caution} text=${shown.caution} />`}<//>`}<//>
  <//>`;
}

/** The trainees' names, where cases of several are shown. @param {Api.Agreement | Api.ProgrammeAgreement} shown @returns {Map<string, string>} */
const namesOf = shown => new Map("trainees" in shown ? shown.trainees.map(({ trainee }) => [trainee.id, trainee.name]) : []);

/** @param {{cases: Api.AccountsDiffer[], of: import("../model/agreement.js").Of, names: Map<string, string>, atrium: Atrium}} props */
const Cases = ({ cases, of, names, atrium }) => (cases.length === 0 ? html`<${Empty} says="No such case." />` : html`
  <p>${counted(cases.length, "case")}, the one signed last first.</p>
  <ul class="tray">${cases.map((one, i) => html`<li key=${one.case}>
    <h2><a href=${`/cases/${one.case}`}>${title({ operation: one.operation, scope: "" }, atrium.facts.operations)}</a></h2>
    <p class="small">${[names.get(one.trainee), `operated on ${dayWords(one.operated_on)}`].filter(Boolean).join(", ")}</p>
    ${one.role_claimed !== one.role_seen && html`<p>Role: ${word(one.role_claimed)} by the trainee's account, ${word(one.role_seen)} after sign-off.</p>`}
    ${!one.events_agreed && html`<p>The supervisor did not agree with the events: see the case.</p>`}
    ${one.steps.length > 0 && html`<${Steps} steps=${of === "roles" || of === "events" ? one.steps : stepsBehind(one, of)} atrium=${atrium} number=${i + 1} />`}
  </li>`)}</ul>`);

/** @param {{steps: Api.StepAccount[], atrium: Atrium, number: number}} props number: of the case in the list */
const Steps = ({ steps, atrium, number }) => html`<div class="scroll" tabindex="0" role="region" aria-label=${`Steps that differ in case ${number}`}><table class="changes">
  <thead><tr><th scope="col">Step</th><th scope="col">Trainee's account</th><th scope="col">Supervisor's account</th></tr></thead>
  <tbody>${steps.map(step => html`<tr key=${step.step}><th scope="row">${stepName(atrium, step.step)}</th>
    <td>${by(step.trainee, atrium)}</td><td>${by(step.supervisor, atrium)}</td></tr>`)}</tbody>
</table></div>`;

/** @param {string} performer @param {Atrium} atrium */
const by = (performer, atrium) => named(atrium.facts.performers, performer) || Word(performer);
