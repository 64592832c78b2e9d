// Logging a case, and changing a draft.
import { useState } from "preact/hooks";
import { periodOf } from "../lib/days.js";
import { html } from "../lib/html.js";
import { kept } from "../lib/keep.js";
import { useResource } from "../lib/resource.js";
import { at, has } from "../lib/session.js";
import { emptyRecord, toEnter, toSend } from "../model/case-record.js";
import { fromPreview } from "../model/kept-words.js";
import { CaseBar } from "../parts/case-bar.js";
import { EventsPart, OperationPart, PatientPart, WhereAndWho } from "../parts/case-fields.js";
import { BeginFrom, KeepPattern } from "../parts/case-patterns.js";
import { LesionPart } from "../parts/case-lesions.js";
import { AlikeNotice, CasePreviewBox } from "../parts/case-preview.js";
import { StepsPart } from "../parts/case-steps.js";
import { Conflict } from "../parts/conflict.js";
import { FaultSummary } from "../parts/fault-summary.js";
import { KeptWords } from "../parts/kept-words.js";
import { queueRead, waiting } from "../parts/outbox.js";
import { Page } from "../parts/page.js";
import { useAtrium } from "../parts/use-atrium.js";
import { useCaseSaving } from "../parts/use-case-saving.js";
import { usePreview } from "../parts/use-preview.js";
import { Show, Trouble } from "../parts/waiting.js";

/** @param {{params: Record<string, string>}} props without a case in the address it is a new one */
export function CaseFormPage({ params }) {
  const unsent = waiting.value.find(one => one.id === params.case); // what was entered here last counts, not what the server has
  const known = useResource(params.case && unsent?.base !== null ? at(`/cases/${encodeURIComponent(params.case)}`) : null);
  const programme = useResource(at(""));
  const faculty = useResource(at("/people?role=faculty"));
  const patterns = /** @type {import("../parts/case-patterns.js").Patterns} */ (useResource(has("trainee") ? at("/case-patterns") : null)); // a form does not wait for them
  const atrium = useAtrium();
  const ready = { ...programme, problem: programme.problem || faculty.problem || atrium.problem || (unsent ? null : known.problem), reload: () => [programme, faculty, atrium, known].forEach(one => one.reload()),
    data: programme.data && faculty.data && atrium.data && queueRead.value && (!params.case || unsent || known.data) ? true : undefined };
  return html`<${Page} title=${!params.case ? "Log a case" : known.data?.case.signed_version ? "Amend case" : "Edit case"} lead="Nothing that identifies a patient. Scope and role are computed from what you enter." kind="wide">
    <${Show} of=${ready} what="the form">${() => html`<${CaseForm}
      detail=${known.data} patterns=${patterns} unsent=${unsent} settings=${/** @type {any} */ (programme.data).settings} faculty=${/** @type {any} */ (faculty.data).items} atrium=${atrium.data} />`}<//>
  <//>`;
}

/** @param {{detail?: Api.CaseDetail, patterns: import("../parts/case-patterns.js").Patterns, unsent?: import("../model/queue.js").Entry, settings: Api.Settings, faculty: Api.Person[], atrium: import("../model/atrium.js").Atrium}} props */
function CaseForm({ detail, patterns, unsent, settings, faculty, atrium }) {
  const [record, setRecord] = useState(() => toEnter(unsent?.body.record || detail?.case.record || remembered(settings, faculty)));
  const [touched, setTouched] = useState(false);
  const [overrides, setOverrides] = useState(/** @type {Api.Override[]} */ (unsent?.body.overrides || []));
  const form = useCaseSaving(record, touched, detail, setRecord, overrides, unsent?.id);
  const { preview, problem } = usePreview(record, form.id);
  const alter = (/** @type {(before: Api.CaseRecord) => Api.CaseRecord} */ to) => { setTouched(true); setRecord(to); };
  const change = (/** @type {Partial<Api.CaseRecord>} */ what) => alter(before => ({ ...before, ...what }));
  const act = (/** @type {import("../acts/history.js").Act<any>} */ one) => alter(before => one.apply(before));
  const signer = detail?.case.signed_version && { id: detail.case.record.supervisor, name: detail.supervisor_name, roles: [] }; // who signed signs the amendment
  const part = { record, facts: atrium.facts, atrium, faults: form.faults, onChange: change, onAct: act, settings, faculty: signer ? [signer] : faculty };
  return html`<form class="case-form" novalidate onSubmit=${form.submit}>
    <${FaultSummary} faults=${form.lines} title="This cannot be saved yet" />
    ${form.conflict && html`<${Conflict} mine=${toSend(record)} theirs=${form.conflict} onMine=${form.keepMine} onTheirs=${form.takeTheirs} />`}
    ${form.problem && html`<${Trouble} problem=${form.problem} />`}
    ${!signer && html`<${BeginFrom} patterns=${patterns} record=${record} settings=${settings} faculty=${faculty} onRecord=${(/** @type {Api.CaseRecord} */ to) => alter(() => to)} />`}
    <${AlikeNotice} alike=${preview?.alike} />
    <div class="form-columns">
      <div><${WhereAndWho} ...${part} /><${OperationPart} ...${part} /><${PatientPart} ...${part} /></div>
      <div><${LesionPart} ...${part} /></div>
      <div><${StepsPart} ...${part} /><${EventsPart} ...${part}><${KeptWords} stopped=${fromPreview(preview, detail?.case.record.note)} field="record.note" text=${record.note || ""} overrides=${overrides} onOverrides=${setOverrides}
        onText=${(/** @type {string} */ note) => change({ note })} /><//><${CasePreviewBox} preview=${preview} problem=${problem} atrium=${atrium} />
        ${has("trainee") && html`<${KeepPattern} patterns=${patterns} record=${record} />`}</div>
    </div>
    <${CaseBar} preview=${preview} problem=${problem} form=${form} />
  </form>`;
}

/** A new case begins today, with what was chosen last on this device. @param {Api.Settings} settings @param {Api.Person[]} faculty */
function remembered(settings, faculty) {
  /** @type {Partial<Api.CaseRecord>} */
  let last = {};
  try { last = JSON.parse(kept("last-case") || "{}"); } catch { /* not ours: nothing is remembered */ }
  const site = settings.sites.length === 1 ? settings.sites[0] : settings.sites.find(one => one === last.site) || "";
  return emptyRecord({ ...last, site, supervisor: faculty.find(one => one.id === last.supervisor)?.id || "", operated_on: periodOf(settings.date_precision) });
}
