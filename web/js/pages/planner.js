// Planning a lesion set for a fictional patient.
import { useEffect, useRef, useState } from "preact/hooks";
import { History } from "../acts/history.js";
import { announce } from "../lib/announce.js";
import { post } from "../lib/api.js";
import { html } from "../lib/html.js";
import { navigate } from "../lib/navigate.js";
import { ApiProblem } from "../lib/problem.js";
import { useResource } from "../lib/resource.js";
import { at, has } from "../lib/session.js";
import { uuid } from "../lib/uuid.js";
import { again, choosesLesions, emptyPlan, lesionSet, missing, toSend } from "../model/plan-draft.js";
import { workOf } from "../model/recognised.js";
import { AtrialMap } from "../parts/atrial-map.js";
import { Attempts } from "../parts/attempts.js";
import { Caution } from "../parts/caution.js";
import { ConductionWords } from "../parts/conduction-words.js";
import { DrawBar } from "../parts/draw-bar.js";
import { asLines, FaultSummary } from "../parts/fault-summary.js";
import { LesionTable } from "../parts/lesion-table.js";
import { Page } from "../parts/page.js";
import { PatientFacts } from "../parts/patient-facts.js";
import { PlanDecisions } from "../parts/plan-decisions.js";
import { useAtrium } from "../parts/use-atrium.js";
import { useConduction } from "../parts/use-conduction.js";
import { useDrawing } from "../parts/use-drawing.js";
import { Show, Trouble } from "../parts/waiting.js";

/** @param {{params: Record<string, string>, query: URLSearchParams}} props */
export function PlannerPage({ params, query }) {
  const scenario = useResource(at(`/scenarios/${encodeURIComponent(params.scenario)}`));
  const earlier = query.get("from");
  const before = useResource(earlier ? at(`/plans/${encodeURIComponent(earlier)}`) : null);
  const patient = /** @type {Api.ScenarioDetail | undefined} */ (scenario.data)?.scenario.patient;
  const atrium = useAtrium(patient?.left_atrium_mm, patient?.right_atrium_mm);
  const title = /** @type {Api.ScenarioDetail | undefined} */ (scenario.data)?.scenario.title || "Scenario";
  return html`<${Page} title=${title} kind="planner">
    <${Show} of=${scenario} what="the scenario">${(/** @type {Api.ScenarioDetail} */ detail) => html`
      <${Show} of=${atrium} what="the map">${(/** @type {import("../model/atrium.js").Atrium} */ shape) => {
        if (earlier && before.loading) return null;
        const plan = /** @type {Api.PlanDetail | undefined} */ (before.data)?.plan;
        return html`<${Planner} detail=${detail} atrium=${shape} start=${plan ? again(plan) : emptyPlan()} />`;
      }}<//>`}<//>
  <//>`;
}

/** @param {{detail: Api.ScenarioDetail, atrium: import("../model/atrium.js").Atrium, start: Api.Plan}} props */
function Planner({ detail, atrium, start }) {
  const { scenario, pattern, attempts } = detail;
  const [history, live] = useHistory(start);
  const [lit, setLit] = useState(/** @type {Set<string>} */ (new Set()));
  const plan = history.now;
  const act = live.act;
  const drawn = useDrawing(atrium, plan, act, lit, setLit);
  const pen = choosesLesions(plan, scenario.asks) ? drawn : undefined;
  const conduction = useConduction(lesionSet(pen ? { ...plan, lesions: pen.lesions } : plan, scenario.patient));
  const sending = useSubmission(scenario, plan, Boolean(pen?.draft));
  const known = conduction.stale ? undefined : conduction.result;
  const drawing = Boolean(pen?.draft);
  useEffect(() => { if (drawing && !conduction.on) conduction.start(); }, [drawing]);
  const undo = () => { if (!pen?.undo()) live.undo(); };
  const redo = () => { if (!pen?.redo()) live.redo(); };
  useUndoKeys(undo, redo);
  const pick = (/** @type {string} */ key) => setLit(before => (before.has(key) ? new Set() : new Set([key])));
  const undoes = pen?.draft?.undoes || history.undoes, redoes = pen?.draft?.redoes || history.redoes;
  return html`<div class="three">
    <section class="about" aria-label="Patient and operation">
      <p class="vignette">${scenario.vignette}</p>
      <${PatientFacts} scenario=${scenario} pattern=${pattern} facts=${atrium.facts} />
      <${Caution} text=${atrium.facts.caution} />
      ${attempts.length > 0 && html`<h2>Earlier attempts</h2><${Attempts} plans=${attempts} />`}
    </section>
    <section class="drawing" aria-label="Map of the plan">
      <${AtrialMap} atrium=${atrium} lesions=${pen ? pen.shown : plan.lesions} appendage=${plan.left_appendage.state} result=${conduction.result} stale=${conduction.stale} lit=${lit}
        onPick=${pick} pen=${pen} />
      ${pen && html`<${DrawBar} atrium=${atrium} drawing=${pen} />`}
      <div class="bar">
        ${conduction.on
          ? html`<button type="button" class="quiet" onClick=${conduction.stop}>Hide conduction</button>`
          : html`<button type="button" class="quiet" onClick=${conduction.start}>Check conduction</button>`}
        <button type="button" class="quiet" disabled=${!undoes} title=${undoes} onClick=${undo}>Undo</button>
        <button type="button" class="quiet" disabled=${!redoes} title=${redoes} onClick=${redo}>Redo</button>
      </div>
      ${conduction.result && html`<p class="small stale-note">${conduction.stale ? "Conduction is being computed again: what you see is from before the change." : "Conduction is that of the lesions on the map."}</p>`}
      ${conduction.problem && html`<${Trouble} problem=${conduction.problem} />`}
      ${conduction.result && html`<${ConductionWords} result=${conduction.result} lit=${lit} onPick=${pick} /><${Caution} text=${conduction.result.caution} />`}
      <details class="as-table"><summary>The plan as a table</summary><${LesionTable} atrium=${atrium} lesions=${plan.lesions} appendage=${plan.left_appendage} result=${known} /></details>
    </section>
    <form class="decisions" aria-label="Your plan" novalidate onSubmit=${sending.submit}>
      <h2 class="first">Your plan</h2>
      <${FaultSummary} faults=${sending.lines} />
      ${sending.problem && html`<${Trouble} problem=${sending.problem} />`}
      <${PlanDecisions} atrium=${atrium} plan=${plan} asks=${scenario.asks} onAct=${act} lit=${lit} faults=${sending.faults} pen=${drawn}
        work=${(/** @type {number} */ index) => workOf(atrium, known, plan.lesions, index)} />
      ${has("trainee")
        ? html`<button type="submit" class="main-act" disabled=${sending.busy}>Submit for grading</button><p class="small">A submitted plan is graded at once and never changes. You can try again.</p>`
        : html`<p class="small">Only trainees submit plans. Checking conduction works for everyone.</p>`}
    </form>
  </div>`;
}

/**
 * The plan with its undo. Keys can come faster than the page is drawn anew, so that each act builds on the last and not on the page.
 * @param {Api.Plan} start @returns {[History<Api.Plan>, {act: (one: import("../acts/history.js").Act<Api.Plan>) => void, undo: () => void, redo: () => void}]}
 */
function useHistory(start) {
  const [history, show] = useState(() => new History(start));
  const now = useRef(history);
  const to = (/** @type {History<Api.Plan>} */ next) => { now.current = next; show(next); };
  const undo = () => { const { undoes } = now.current; announce(undoes ? `Undone: ${undoes}` : "There is nothing to undo."); to(now.current.undone()); };
  const redo = () => { const { redoes } = now.current; announce(redoes ? `Done again: ${redoes}` : "There is nothing to do again."); to(now.current.redone()); };
  return [history, { act: one => to(now.current.after(one)), undo, redo }];
}

/** Sending the plan once; the same form sent twice makes one plan. @param {Api.Scenario} scenario @param {Api.Plan} plan @param {boolean} drawing a line not finished is not in the plan */
function useSubmission(scenario, plan, drawing) {
  const key = useRef(uuid());
  const [state, setState] = useState(/** @type {{busy: boolean, lines: {field: string, says: string}[], problem: unknown}} */ ({ busy: false, lines: [], problem: null }));
  const submit = async (/** @type {Event} */ event) => {
    event.preventDefault();
    const lines = missing(plan, scenario.asks);
    if (drawing) lines.unshift({ field: "lesions", says: "Finish or cancel what you are drawing." });
    if (lines.length > 0) return setState({ busy: false, lines, problem: null });
    setState({ busy: true, lines: [], problem: null });
    try {
      const graded = /** @type {Api.PlanDetail} */ (await post(at("/plans"), { scenario: scenario.id, plan: toSend(plan, scenario.asks) }, { key: key.current }));
      return navigate(`/plans/${graded.id}`);
    } catch (error) {
      key.current = error instanceof ApiProblem && !error.offline ? uuid() : key.current; // a refused request is corrected and is another one
      const faults = error instanceof ApiProblem && error.errors.length > 0 ? asLines(error.byField("plan")) : [];
      return setState({ busy: false, lines: faults, problem: faults.length > 0 ? null : error });
    }
  };
  return { ...state, submit, faults: new Map(state.lines.map(line => [line.field, line.says])) };
}

/** Ctrl+Z and Ctrl+Shift+Z (or Y) outside of text fields, which have their own. @param {() => void} undo @param {() => void} redo */
function useUndoKeys(undo, redo) {
  useEffect(() => {
    const onKey = (/** @type {KeyboardEvent} */ event) => {
      const typing = event.target instanceof Element && event.target.matches("textarea, input:not([type=checkbox], [type=radio])");
      if (typing || !(event.ctrlKey || event.metaKey)) return;
      const key = event.key.toLowerCase();
      if (key !== "z" && key !== "y") return;
      event.preventDefault();
      if (key === "y" || event.shiftKey) redo();
      else undo();
    };
    addEventListener("keydown", onKey);
    return () => removeEventListener("keydown", onKey);
  });
}
