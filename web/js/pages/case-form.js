// Logging a case, and changing a draft.
import { useRef, useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { get, post, put } from "../lib/api.js";
import { html } from "../lib/html.js";
import { keep, kept } from "../lib/keep.js";
import { navigate } from "../lib/navigate.js";
import { ApiProblem } from "../lib/problem.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { uuid } from "../lib/uuid.js";
import { emptyRecord, toSend, withSteps } from "../model/case-record.js";
import { EventsPart, LesionPart, OperationPart, PatientPart, StepsPart, WhereAndWho } from "../parts/case-fields.js";
import { CasePreviewBox, Identifiers } from "../parts/case-preview.js";
import { Conflict } from "../parts/conflict.js";
import { asLines, FaultSummary } from "../parts/fault-summary.js";
import { Page } from "../parts/page.js";
import { useAtrium } from "../parts/use-atrium.js";
import { usePreview } from "../parts/use-preview.js";
import { Show, Trouble } from "../parts/waiting.js";

/** @param {{params: Record<string, string>}} props without a case in the address it is a new one */
export function CaseFormPage({ params }) {
  const known = useResource(params.case ? at(`/cases/${encodeURIComponent(params.case)}`) : null);
  const programme = useResource(at(""));
  const faculty = useResource(at("/people?role=faculty"));
  const atrium = useAtrium();
  const ready = { ...programme, problem: programme.problem || faculty.problem || atrium.problem || known.problem, reload: () => [programme, faculty, atrium, known].forEach(one => one.reload()),
    data: programme.data && faculty.data && atrium.data && (!params.case || known.data) ? true : undefined };
  return html`<${Page} title=${params.case ? "Edit case" : "Log a case"} lead="Nothing that identifies a patient. Scope and role are computed from what you enter." kind="wide">
    <${Show} of=${ready} what="the form">${() => html`<${CaseForm}
      detail=${known.data} settings=${/** @type {any} */ (programme.data).settings} faculty=${/** @type {any} */ (faculty.data).items} atrium=${atrium.data} />`}<//>
  <//>`;
}

/** @param {{detail?: Api.CaseDetail, settings: Api.Settings, faculty: Api.Person[], atrium: import("../model/atrium.js").Atrium}} props */
function CaseForm({ detail, settings, faculty, atrium }) {
  const [record, setRecord] = useState(() => withSteps(detail?.case.record || remembered(settings, faculty)));
  const form = useSaving(record, detail, setRecord);
  const { preview, problem } = usePreview(record);
  const change = (/** @type {Partial<Api.CaseRecord>} */ what) => setRecord(before => ({ ...before, ...what }));
  const part = { record, facts: atrium.facts, atrium, faults: form.faults, onChange: change, settings, faculty };
  return html`<form class="case-form" novalidate onSubmit=${form.submit}>
    <${FaultSummary} faults=${form.lines} title="This cannot be saved yet" />
    ${form.conflict && html`<${Conflict} mine=${toSend(record)} theirs=${form.conflict} onMine=${form.keepMine} onTheirs=${form.takeTheirs} />`}
    ${form.problem && html`<${Trouble} problem=${form.problem} />`}
    <div class="form-columns">
      <div><${WhereAndWho} ...${part} /><${OperationPart} ...${part} /><${PatientPart} ...${part} /></div>
      <div><${LesionPart} ...${part} /></div>
      <div><${StepsPart} ...${part} /><${EventsPart} ...${part}><${Identifiers} preview=${preview} /><//><${CasePreviewBox} preview=${preview} problem=${problem} /></div>
    </div>
    <div class="bar">
      <button type="submit" class="main-act" disabled=${form.busy}>Submit for sign-off</button>
      <button type="button" class="quiet" disabled=${form.busy} onClick=${form.saveDraft}>Save draft</button>
    </div>
  </form>`;
}

/** A new case begins with what was chosen last on this device. @param {Api.Settings} settings @param {Api.Person[]} faculty */
function remembered(settings, faculty) {
  const site = settings.sites.length === 1 ? settings.sites[0] : settings.sites.find(one => one === kept("last-site")) || "";
  return emptyRecord({ site, supervisor: faculty.find(one => one.id === kept("last-supervisor"))?.id || "", operation: kept("last-operation"), approach: kept("last-approach") || "sternotomy" });
}

/** @param {Api.CaseRecord} record */
function remember(record) {
  keep("last-site", record.site);
  keep("last-supervisor", record.supervisor);
  keep("last-operation", record.operation);
  keep("last-approach", record.approach);
}

/**
 * Saving and submitting. The first save creates the case, under a key made once; later ones replace the revision they read, and a
 * newer revision is a conflict that the person decides.
 * @param {Api.CaseRecord} record @param {Api.CaseDetail | undefined} detail @param {(record: Api.CaseRecord) => void} setRecord
 */
function useSaving(record, detail, setRecord) {
  const key = useRef(uuid());
  const saved = useRef(detail?.case);
  const [state, setState] = useState(/** @type {{busy: boolean, lines: {field: string, says: string}[], problem: unknown, conflict?: Api.CaseDetail}} */ ({ busy: false, lines: [], problem: null }));
  const refused = async (/** @type {unknown} */ error) => {
    if (error instanceof ApiProblem && error.status === 412 && saved.current) {
      const conflict = /** @type {Api.CaseDetail} */ (await get(at(`/cases/${saved.current.id}`)));
      return setState({ busy: false, lines: [], problem: null, conflict });
    }
    if (error instanceof ApiProblem && !error.offline && !saved.current) key.current = uuid(); // the corrected form is another request
    const lines = error instanceof ApiProblem && error.errors.length > 0 ? asLines(error.byField("record")) : [];
    return setState({ busy: false, lines, problem: lines.length > 0 ? null : error });
  };
  const save = async (/** @type {boolean} */ submit) => {
    setState({ busy: true, lines: [], problem: null });
    try {
      const body = { record: toSend(record) };
      const before = saved.current;
      let now = /** @type {Api.CaseDetail} */ (await (before ? put(at(`/cases/${before.id}`), body, { revision: before.revision }) : post(at("/cases"), body, { key: key.current })));
      saved.current = now.case;
      remember(record);
      if (submit) now = await post(at(`/cases/${now.case.id}/submission`), {}, { revision: now.case.revision });
      announce(submit ? "Submitted for sign-off." : "Draft saved.");
      navigate(`/cases/${now.case.id}`, { replace: true });
    } catch (error) {
      await refused(error).catch(problem => setState({ busy: false, lines: [], problem }));
    }
  };
  const rebase = (/** @type {Api.CaseRecord} */ chosen) => {
    if (state.conflict) saved.current = state.conflict.case;
    setRecord(chosen);
    setState({ busy: false, lines: [], problem: null });
  };
  return {
    ...state, faults: new Map(state.lines.map(line => [line.field, line.says])),
    submit: (/** @type {Event} */ event) => { event.preventDefault(); save(true); },
    saveDraft: () => save(false),
    keepMine: () => rebase(record),
    takeTheirs: () => rebase(withSteps(state.conflict?.case.record || record)),
  };
}
