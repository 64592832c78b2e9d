// Signing off a case: the steps as the supervisor saw them, help given looking back, supervision next time looking ahead.
import { useState } from "preact/hooks";
import { html } from "../lib/html.js";
import { useResource } from "../lib/resource.js";
import { at, session } from "../lib/session.js";
import { ageWords, dayWords } from "../lib/days.js";
import { capital, listed, named, word } from "../lib/words.js";
import { differing } from "../model/case-record.js";
import { firstStatement } from "../model/statement.js";
import { CaseMeanwhile, SinceSigned } from "../parts/case-changes.js";
import { stepName } from "../parts/case-fields.js";
import { title } from "../parts/case-rows.js";
import { Caution } from "../parts/caution.js";
import { Ladder, Segments } from "../parts/choices.js";
import { CheckField, TextField } from "../parts/field.js";
import { FaultSummary } from "../parts/fault-summary.js";
import { KeptWords } from "../parts/kept-words.js";
import { LesionTable } from "../parts/lesion-table.js";
import { Page } from "../parts/page.js";
import { Phrases } from "../parts/phrases.js";
import { ReasonAct } from "../parts/reason-act.js";
import { tray } from "../parts/tray.js";
import { useAtrium } from "../parts/use-atrium.js";
import { useSigning } from "../parts/use-signing.js";
import { useStopped } from "../parts/use-stopped.js";
import { Empty, Loading, Show, Trouble } from "../parts/waiting.js";

/** The meaning bound to every signature, as the server keeps it. */
const meaning = "I supervised this operation and state that this is what I saw.";

const performers = [{ id: "trainee", name: "trainee" }, { id: "trainee-with-help", name: "with help" }, { id: "supervisor", name: "me" }];

/** @param {{params: Record<string, string>}} props */
export function SignOffPage({ params }) {
  const detail = useResource(at(`/cases/${encodeURIComponent(params.case)}`));
  const atrium = useAtrium();
  const read = /** @type {Api.CaseDetail | undefined} */ (detail.data);
  const name = read && atrium.data ? title({ operation: read.case.record.operation, scope: read.case.computed?.scope || "" }, atrium.data.facts.operations) : "Sign off";
  return html`<${Page} title=${name} lead=${read && leadWords(read)} kind="narrow-page">
    <${Show} of=${detail} what="the case">${(/** @type {Api.CaseDetail} */ shown) => html`
      <${Show} of=${atrium} what="the catalogue">${(/** @type {import("../model/atrium.js").Atrium} */ shape) => (shown.may.includes("sign-off")
        ? tray.value === undefined ? html`<${Loading} what="what you prepared" />` : html`<${SignOffForm} key=${shown.case.revision} detail=${shown} atrium=${shape} name=${name} reload=${detail.reload} />`
        : html`<${Empty} says=${`This case is ${word(shown.case.status)}: there is nothing for you to sign.`}><a href=${`/cases/${shown.case.id}`}>Open the case</a> or <a href="/inbox">go to the inbox</a><//>`)}<//>`}<//>
  <//>`;
}

/** @param {Api.CaseDetail} detail */
function leadWords({ case: one, trainee_name: trainee }) {
  const submitted = one.submitted_at ? Math.floor((Date.now() - Date.parse(one.submitted_at)) / 86400000) : 0;
  const parts = [`${trainee}, submitted ${ageWords(submitted)}; operated on ${dayWords(one.record.operated_on)}.`];
  if (one.computed) parts.push(`${word(one.computed.pattern)[0].toUpperCase()}${word(one.computed.pattern).slice(1)}. Computed role from the trainee's account: ${word(one.computed.role)}.`);
  return parts.join(" ");
}

/** @param {{detail: Api.CaseDetail, atrium: import("../model/atrium.js").Atrium, name: string, reload: () => void}} props */
function SignOffForm({ detail, atrium, name, reload }) {
  const { record, computed } = detail.case;
  const [prepared] = useState(() => tray.peek()?.find(one => one.case === detail.case.id)); // as it was when the page opened
  const fits = prepared?.revision === detail.case.revision ? prepared : undefined;
  const [seen, setSeen] = useState(() => fits?.body || firstStatement(detail));
  const change = (/** @type {Partial<Api.Statement>} */ what) => setSeen(before => ({ ...before, ...what }));
  const [overrides, setOverrides] = useState(/** @type {Api.Override[]} */ (fits?.body.overrides || []));
  const act = useSigning(detail, name, seen, overrides);
  const phrases = /** @type {Api.Phrases | undefined} */ (useResource(at("/sign-off-phrases")).data);
  const keeping = { ...useStopped(act.refusal), overrides, onOverrides: setOverrides };
  const level = (/** @type {Api.Level[]} */ levels) => levels.map(one => ({ id: String(one.level), name: `${one.level}, ${one.name}` }));
  const differs = differing(seen.steps, record.steps).length;
  return html`
    ${computed && html`<p class="small">${capital(computed.role_reason)}</p>`}
    <details class="as-table"><summary>The record in full</summary>
      <${LesionTable} atrium=${atrium} lesions=${record.lesions} appendage=${record.left_appendage} />
      ${record.note && html`<p>${record.note}</p>`}
      <p><a href=${`/cases/${detail.case.id}`}>Open the case</a></p>
    </details>
    ${prepared && html`<p class="notice">${fits ? "This is in your tray, with your answers as you prepared them." : "You prepared this for your tray, and the case changed since. Answer for what it says now."}</p>`}
    <${SinceSigned} detail=${detail} atrium=${atrium} />
    <form novalidate onSubmit=${act.sign}>
      <${FaultSummary} faults=${act.lines} title="Before you sign" />
      ${act.stale ? html`<${CaseMeanwhile} detail=${detail} atrium=${atrium} problem=${act.problem} onNewer=${reload} />` : act.problem && html`<${Trouble} problem=${act.problem} />`}
      <fieldset class="group" data-field="steps"><legend>Who performed it</legend>
        <div class="segments-list">${seen.steps.map((step, i) => html`<${Segments} key=${step.step} label=${stepName(atrium, step.step)} options=${performers}
          value=${step.performed_by} theirs=${record.steps[i].performed_by}
          theirWords=${`Trainee's account: ${performers.find(one => one.id === record.steps[i].performed_by)?.name.replace("me", "supervisor")}`}
          onValue=${(/** @type {string} */ performed_by) => change({ steps: seen.steps.map((one, k) => (k === i ? { ...one, performed_by } : one)) })} />`)}</div>
        <p class="small">${differs === 0 ? `Filled in from ${detail.case.signed_version ? "what you stated before" : "the trainee's account"}. Change what you saw otherwise.` : `Outlined: the trainee's own account, where it differs from yours (${differs}).`}</p>
      </fieldset>
      <${Ladder} legend="Help given in this case, looking back" name="help_given" value=${String(seen.help_given)} options=${level(atrium.facts.help_levels)}
        fault=${act.faults.get("help_given")} onValue=${(/** @type {string} */ id) => change({ help_given: Number(id) })} />
      <${Ladder} legend="Supervision for the next such case, looking ahead" name="supervision_next" value=${String(seen.supervision_next)}
        options=${level(atrium.facts.supervision_levels)} fault=${act.faults.get("supervision_next")} onValue=${(/** @type {string} */ id) => change({ supervision_next: Number(id) })} />
      <${Events} theirs=${record.events} facts=${atrium.facts} seen=${seen} fault=${act.faults.get("events")} onChange=${change} />
      <${TextField} label="One thing to keep" name="keep" maxlength=${500} value=${seen.keep} fault=${act.faults.get("keep")}
        onValue=${(/** @type {string} */ keep) => change({ keep })} />
      <${Phrases} label="To keep, in your own words before" phrases=${phrases?.keep || []} value=${seen.keep} onValue=${(/** @type {string} */ keep) => change({ keep })} />
      <${KeptWords} ...${keeping} field="keep" text=${seen.keep} onText=${(/** @type {string} */ keep) => change({ keep })} />
      <${TextField} label="One thing to change" name="change" maxlength=${500} value=${seen.change} fault=${act.faults.get("change")}
        onValue=${(/** @type {string} */ text) => change({ change: text })} />
      <${Phrases} label="To change, in your own words before" phrases=${phrases?.change || []} value=${seen.change} onValue=${(/** @type {string} */ text) => change({ change: text })} />
      <${KeptWords} ...${keeping} field="change" text=${seen.change} onText=${(/** @type {string} */ text) => change({ change: text })} />
      ${act.asks && html`<div class="notice"><p class="strong">Prove who you are</p>
        <p>Your sign-in is too old for a signature. Give your password once more: it then holds for the next cases too.</p>
        <${TextField} label="Password" name="password" type="password" autocomplete="current-password" value=${act.password} fault=${act.faults.get("password")}
          onValue=${act.setPassword} /></div>`}
      <div class="bar"><button type="submit" class="main-act" disabled=${act.busy}>Sign</button>
        <button type="button" class="quiet" disabled=${act.busy} onClick=${act.prepare}>${fits ? "Keep in the tray" : "Put in the tray"}</button></div>
      <p class="small">“${meaning}” Your name, ${session.value?.person.name}, the time and this meaning are kept with the case, bound to exactly this version. In the tray it waits on this device until you sign the tray: one proof of identity, and a signature of its own for each case.</p>
    </form>
    <${ReasonAct} name="Return to the trainee" label="What to correct" confirm="Return" busy=${act.busy} problem=${act.refusal} onGiven=${act.giveBack} />
    <${Caution} text=${detail.caution} />`;
}

/** @param {{theirs: string[], facts: Api.Atrium, seen: Api.Statement, fault?: string, onChange: (what: Partial<Api.Statement>) => void}} props theirs: the trainee's */
function Events({ theirs, facts, seen, fault, onChange }) {
  const words = listed(theirs.map(event => named(facts.events, event))) || "no event up to 30 days";
  const events = seen.events || [];
  const say = (/** @type {boolean} */ agreed) => onChange({ complications_agreed: agreed, events: agreed ? undefined : seen.events || theirs });
  return html`<${Ladder} legend="Events" hint=${`The trainee reports ${words}.`} name="complications_agreed" value=${seen.complications_agreed ? "yes" : "no"}
      options=${[{ id: "yes", name: "I agree" }, { id: "no", name: "I know otherwise" }]} onValue=${(/** @type {string} */ id) => say(id === "yes")} />
    ${!seen.complications_agreed && html`<fieldset class="group" data-field="events"><legend>Events up to 30 days as you know them</legend>
      <p class="hint">None ticked means none.</p>
      ${fault && html`<p class="fault">${fault}</p>`}
      ${facts.events.map(event => html`<${CheckField} key=${event.id} label=${event.name} value=${events.includes(event.id)}
        onValue=${(/** @type {boolean} */ on) => onChange({ events: on ? [...events, event.id] : events.filter(id => id !== event.id) })} />`)}</fieldset>`}`;
}
