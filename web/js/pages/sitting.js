// A test: the plan is made without seeing what it does, against the time where one is set, and saves itself.
import { useEffect, useRef } from "preact/hooks";
import { takePlan } from "../acts/answers.js";
import { get } from "../lib/api.js";
import { timeWords } from "../lib/days.js";
import { html } from "../lib/html.js";
import { ApiProblem } from "../lib/problem.js";
import { useResource } from "../lib/resource.js";
import { at, session } from "../lib/session.js";
import { dropTestDraft } from "../lib/test-draft.js";
import { stoppedIn } from "../model/kept-words.js";
import { fromSaved } from "../model/plan-draft.js";
import { Page } from "../parts/page.js";
import { PlanConflict } from "../parts/plan-conflict.js";
import { AboutPatient, PlanForm, PlanMap } from "../parts/planning-panes.js";
import { SittingEnd, SittingLine, TimeUp } from "../parts/sitting-parts.js";
import { useAtrium } from "../parts/use-atrium.js";
import { startOf, useAutosave } from "../parts/use-autosave.js";
import { useCountdown } from "../parts/use-countdown.js";
import { usePlanning } from "../parts/use-planning.js";
import { useSubmission } from "../parts/use-submission.js";
import { Show } from "../parts/waiting.js";

/** @param {{params: Record<string, string>}} props */
export function SittingPage({ params }) {
  const path = at(`/sittings/${encodeURIComponent(params.sitting)}`);
  const sitting = useResource(path);
  const read = /** @type {Api.Sitting | undefined} */ (sitting.data), patient = read?.scenario.scenario.patient;
  const atrium = useAtrium(patient?.left_atrium_mm, patient?.right_atrium_mm);
  const own = read?.trainee === session.value?.person.id;
  const again = () => get(path).then(now => sitting.set(now), () => {}); // quietly: what is on the page stays there without a network
  const lead = read && `${own ? "Test" : `${read.trainee_name}, test`}, attempt ${read.attempt}`;
  return html`<${Page} title=${read?.scenario_title || "Test"} lead=${lead} kind="planner">
    <${Show} of=${sitting} what="the test">${(/** @type {Api.Sitting} */ now) => {
      if (now.status !== "open") return html`<${SittingEnd} sitting=${now} own=${own} />`;
      if (!own) return html`<p class="state">This test is still open. Its plan is seen once it is over.</p>`;
      return html`<${Show} of=${atrium} what="the map">${(/** @type {import("../model/atrium.js").Atrium} */ shape) => html`<${Sit} key=${now.id} sitting=${now} atrium=${shape} onNews=${sitting.set} again=${again} />`}<//>`;
    }}<//>
  <//>`;
}

/** @param {{sitting: Api.Sitting, atrium: import("../model/atrium.js").Atrium, onNews: (sitting: Api.Sitting) => void, again: () => Promise<void>}} props onNews: takes the test as the server answered it */
function Sit({ sitting, atrium, onNews, again }) {
  const { scenario, pattern } = sitting.scenario;
  const begun = useRef(startOf(sitting)).current;
  const planning = usePlanning(atrium, scenario.asks, begun.start);
  const overrides = useRef(/** @type {Api.Override[]} */ ([]));
  const { state, saver } = useAutosave(sitting, planning.plan, begun.kept, begun.clash, onNews, overrides);
  const left = useCountdown(sitting.ends_at, sitting.server_time), up = left === 0;
  const ended = () => { dropTestDraft(sitting.id); again(); };
  const sending = useSubmission(scenario, planning, {
    sitting: sitting.id, before: () => saver.stop(), after: () => dropTestDraft(sitting.id),
    refused: error => { if (error instanceof ApiProblem && error.kind === "test-over") ended(); else saver.goOn(); },
  });
  useEffect(() => { if (state.kind === "over") ended(); }, [state.kind]);
  const keeping = useKeptInTest(sending.keeping, state, overrides, () => saver.change(planning.plan));
  useEndOfTime(up, saver, again);
  useNewsOnReturn(again);
  if (up) return html`<${TimeUp} state=${state} />`;
  const { theirs } = state;
  const take = () => { if (theirs) { planning.act(takePlan(fromSaved(theirs.plan))); saver.settle(fromSaved(theirs.plan), theirs); } };
  return html`
    <${SittingLine} left=${left} state=${state} />
    ${state.kind === "stale" && theirs && html`<${PlanConflict} atrium=${atrium} mine=${planning.plan} theirs=${theirs} onMine=${() => saver.settle(planning.plan, theirs)} onTheirs=${take} />`}
    <div class="three">
      <${AboutPatient} scenario=${scenario} pattern=${pattern} atrium=${atrium} />
      <${PlanMap} atrium=${atrium} planning=${planning}><p class="small">What your lesions do is shown with the grade.</p><//>
      <${PlanForm} atrium=${atrium} planning=${planning} asks=${scenario.asks} sending=${{ ...sending, keeping }}>
        <button type="submit" class="main-act" disabled=${sending.busy || state.kind === "stale"}>Submit the test</button>
        <p class="small">It is graded at once, counts, and never changes.${sitting.ends_at ? ` Time is up at ${timeWords(sitting.ends_at)}: what is saved by then is graded.` : ""}</p>
      <//>
    </div>`;
}

/**
 * What the privacy screen stopped in the note, at a save or at the end; with a reason for all of it the plan is saved again.
 * @template {ReturnType<typeof useSubmission>["keeping"]} K
 * @param {K} keeping @param {import("../parts/use-autosave.js").SaveState} state @param {{current: Api.Override[]}} overrides @param {() => void} save
 */
function useKeptInTest(keeping, state, overrides, save) {
  overrides.current = keeping.overrides;
  useEffect(() => { if (keeping.overrides.length > 0) save(); }, [keeping.overrides]);
  const seen = useRef(keeping.stopped); // a save that runs says nothing of what the one before was refused for
  const now = [...keeping.stopped, ...stoppedIn(state.problem)];
  if (now.length > 0) seen.current = now.filter((one, i) => now.findIndex(other => other.excerpt === one.excerpt && other.field === one.field) === i);
  return { ...keeping, stopped: seen.current };
}

/** When the time is up the last change goes out (a save made in time may arrive a little late), then the server is asked until it has closed the test.
 * @param {boolean} up @param {import("../model/autosave.js").Autosave} saver @param {() => void} again */
function useEndOfTime(up, saver, again) {
  useEffect(() => {
    if (!up) return undefined;
    saver.flush();
    const timer = setInterval(again, 3000);
    return () => clearInterval(timer);
  }, [up]);
}

/** A page that was away asks for the time and whether the test is over: clocks stand still while a device sleeps. @param {() => void} again */
function useNewsOnReturn(again) {
  useEffect(() => {
    const back = () => { if (document.visibilityState === "visible") again(); };
    document.addEventListener("visibilitychange", back);
    return () => document.removeEventListener("visibilitychange", back);
  }, []);
}
