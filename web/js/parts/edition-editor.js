// Writing a scenario: the form in three parts, what the check finds while one writes, saving, and the choice when someone else saved meanwhile.
import { useRef, useState } from "preact/hooks";
import { afterRender } from "../lib/after-render.js";
import { announce } from "../lib/announce.js";
import { post } from "../lib/api.js";
import { html } from "../lib/html.js";
import { counted } from "../lib/numbers.js";
import { ApiProblem } from "../lib/problem.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { atFields, hindrance, lines } from "../model/check.js";
import { answerOf, toSend, whole } from "../model/scenario-draft.js";
import { AnswersEditor } from "./answers-editor.js";
import { asLines, goTo } from "./fault-summary.js";
import { ReasonAct } from "./reason-act.js";
import { AsksPart, OperationPart, PatientPart, WordsPart } from "./scenario-fields.js";
import { ScenarioConflict } from "./scenario-differences.js";
import { AcceptedPart, NotesPart } from "./scenario-remarks.js";
import { Tabs } from "./tabs.js";
import { useAtrium } from "./use-atrium.js";
import { useCheck } from "./use-check.js";
import { useEditing } from "./use-editing.js";
import { useUndoKeys } from "./use-undo-keys.js";
import { Show, Trouble } from "./waiting.js";

/** The sizes the atria can have; a number still being typed draws the last size that is one. @param {number | undefined} mm */
const drawable = mm => (mm && mm >= 25 && mm <= 90 ? mm : undefined);

/** @param {{detail: Api.EditionDetail, onDone: (detail: Api.EditionDetail) => void}} props */
export function EditionEditor({ detail, onDone }) {
  const editing = useEditing(detail, onDone);
  const { scenario } = editing;
  const check = useCheck({ scenario: { ...toSend(scenario), status: "live" } });
  const atrium = useAtrium(drawable(scenario.patient.left_atrium_mm), drawable(scenario.patient.right_atrium_mm));
  const policy = useResource(at("/scope-policy"));
  const sending = useSending(editing, onDone);
  const penNow = useRef(/** @type {import("./use-drawing.js").Drawing | undefined} */ (undefined));
  const undo = () => { if (!penNow.current?.undo()) editing.undo(); };
  const redo = () => { if (!penNow.current?.redo()) editing.redo(); };
  useUndoKeys(undo, redo);
  const conflict = editing.conflict;
  return html`<${Show} of=${atrium} what="the map">${(/** @type {import("../model/atrium.js").Atrium} */ shape) => html`
    ${conflict && html`<${ScenarioConflict} key=${conflict.head.revision} mine=${scenario} theirs=${whole(conflict.scenario)} base=${editing.base.scenario} by=${lastBy(conflict)} atrium=${shape} busy=${editing.busy} onChosen=${editing.take} />`}
    <${Writing} editing=${editing} check=${check} atrium=${shape} penNow=${penNow} history=${{ undo, redo, undoes: editing.history.undoes, redoes: editing.history.redoes }}
      wavelength=${/** @type {Api.ScopePolicyDetail | undefined} */ (policy.data)?.policy.wavelength} />
    ${detail.head.may.includes("retire") && html`<div class="drop"><${ReasonAct} name="Drop this draft" label="Why it is dropped" confirm="Drop it" busy=${sending.busy}
      onGiven=${(/** @type {string} */ reason) => sending.send("retire", { reason }, "Dropped.")} /></div>`}
    <${SaveBar} editing=${editing} check=${check} sending=${sending} undo=${undo} redo=${redo} />`}<//>`;
}

/** Who saved last, as far as the acts say. @param {Api.EditionDetail} detail */
const lastBy = detail => (detail.head.authors.length === 1 ? detail.head.author_name : "");

/** @param {{editing: ReturnType<typeof useEditing>, check: ReturnType<typeof useCheck>} & Pick<import("./answers-editor.js").Part, "atrium" | "penNow" | "history" | "wavelength">} props */
function Writing({ editing, check, atrium, ...drawing }) {
  const { scenario, act } = editing;
  const [tab, setTab] = useState("case");
  const [open, setOpen] = useState(/** @type {import("../model/scenario-draft.js").AnswerPlace | null} */ (null));
  const found = check.result?.faults || [];
  const faults = atFields(found);
  const part = { scenario, facts: atrium.facts, faults, onAct: act };
  const go = (/** @type {string} */ field) => {
    const place = answerOf(field);
    setTab(place || /^(expert|flawed)$/.test(field) ? "answers" : /^(notes|alternatives)/.test(field) ? "remarks" : "case");
    if (place) setOpen(place);
    afterRender(() => goTo(field)); // once the part that holds it is on the page
  };
  const tabs = [{ id: "case", name: "Patient and operation" }, { id: "answers", name: `Answers (${scenario.expert.length + scenario.flawed.length})` }, { id: "remarks", name: "Accepted and notes" }];
  return html`<${Found} check=${check} scenario=${scenario} onGo=${go} />
    <${Tabs} label="Parts of the scenario" tabs=${tabs} value=${tab} onValue=${setTab}>
      ${tab === "case" && html`<div class="form-columns case-form"><div><${WordsPart} ...${part} /><${AsksPart} ...${part} /></div>
        <div><${PatientPart} ...${part} pattern=${check.result?.pattern} stale=${check.stale} /></div><div><${OperationPart} ...${part} /></div></div>`}
      ${tab === "answers" && html`<${AnswersEditor} scenario=${scenario} atrium=${atrium} check=${check.result} stale=${check.stale} faults=${faults} onAct=${act} open=${open} onOpen=${setOpen} ...${drawing}
        patient=${{ ...scenario.patient, left_atrium_mm: drawable(scenario.patient.left_atrium_mm), right_atrium_mm: drawable(scenario.patient.right_atrium_mm) }} />`}
      ${tab === "remarks" && html`<div class="two"><${NotesPart} ...${part} /><${AcceptedPart} ...${part} /></div>`}
    <//>`;
}

/** Everything the check finds, each line leading to its field. It never takes the focus: one goes on writing. @param {{check: ReturnType<typeof useCheck>, scenario: Api.ScenarioText, onGo: (field: string) => void}} props */
function Found({ check, scenario, onGo }) {
  if (check.problem && !check.result) return html`<${Trouble} problem=${check.problem} />`;
  if (!check.result) return html`<p class="small">Being checked.</p>`;
  const list = lines(check.result.faults, scenario);
  if (list.length === 0) return html`<p class="found" role="status"><span class="strong">No fault.</span> ${check.stale ? "The last changes are being checked." : "Every answer gets the letter it should."}</p>`;
  return html`<details class="found fault-summary" open=${list.length <= 6}>
    <summary><span class="strong">${counted(list.length, "fault")} to mend before review</span>${check.stale && html` <span class="small">being checked again</span>`}</summary>
    <ul>${list.map(({ field, says }) => html`<li>${field ? html`<a href=${`#${field}`} onClick=${(/** @type {Event} */ event) => { event.preventDefault(); onGo(field); }}>${says}</a>` : says}</li>`)}</ul>
  </details>`;
}

/** Handing the saved draft on: to review, or out of use. @param {ReturnType<typeof useEditing>} editing @param {(detail: Api.EditionDetail) => void} onDone */
function useSending(editing, onDone) {
  const [state, setState] = useState(/** @type {{busy: boolean, problem: unknown}} */ ({ busy: false, problem: null }));
  const send = async (/** @type {string} */ act, /** @type {unknown} */ body, /** @type {string} */ done) => {
    const saved = editing.dirty ? await editing.save() : null;
    if (editing.dirty && !saved) return;
    setState({ busy: true, problem: null });
    try {
      const after = /** @type {Api.EditionDetail} */ (await post(`${editing.path}/${act}`, body, { revision: saved?.head.revision ?? editing.base.revision }));
      announce(done);
      onDone(after);
    } catch (problem) {
      setState({ busy: false, problem });
    }
  };
  return { ...state, send };
}

/** @param {{editing: ReturnType<typeof useEditing>, check: ReturnType<typeof useCheck>, sending: ReturnType<typeof useSending>, undo: () => void, redo: () => void}} props */
function SaveBar({ editing, check, sending, undo, redo }) {
  const { history, dirty, busy, problem, conflict } = editing;
  const wait = conflict ? "Choose between the two versions first." : hindrance(check.result, check.stale);
  const refused = problem instanceof ApiProblem ? asLines(problem.byField("scenario")) : [];
  const said = problem || sending.problem;
  return html`<div class="save-bar" role="group" aria-label="Saving">
    ${refused.length > 0 ? html`<div class="fault-summary" role="alert"><p class="strong">It was not saved</p><ul>${refused.map(({ says }) => html`<li>${says}</li>`)}</ul></div>` : said && html`<${Trouble} problem=${said} />`}
    <div class="bar">
      <button type="button" disabled=${busy || !dirty || Boolean(conflict)} onClick=${editing.save}>Save</button>
      <button type="button" class="quiet" disabled=${busy || sending.busy || Boolean(wait)} aria-describedby="submit-wait" onClick=${() => sending.send("submit", undefined, "Submitted for review.")}>Submit for review</button>
      <button type="button" class="quiet" disabled=${!history.undoes} title=${history.undoes} onClick=${undo}>Undo</button>
      <button type="button" class="quiet" disabled=${!history.redoes} title=${history.redoes} onClick=${redo}>Redo</button>
    </div>
    <p class="small" role="status">${busy ? "Saving." : dirty ? "Not saved yet; it saves itself when you pause." : "Saved."} <span id="submit-wait">${wait}</span></p>
  </div>`;
}
