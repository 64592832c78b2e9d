// Practising a scenario: what the lesions do is shown while they are drawn, and one may try as often as one likes.
import { useEffect, useState } from "preact/hooks";
import { timeWords } from "../lib/days.js";
import { html } from "../lib/html.js";
import { ApiProblem } from "../lib/problem.js";
import { useResource } from "../lib/resource.js";
import { at, has } from "../lib/session.js";
import { again, canonical, emptyPlan, fromSaved, lesionSet } from "../model/plan-draft.js";
import { Attempts } from "../parts/attempts.js";
import { ConductionPanel } from "../parts/conduction-panel.js";
import { useDraft } from "../parts/offline-draft.js";
import { OpenTests } from "../parts/open-tests.js";
import { Page } from "../parts/page.js";
import { AboutPatient, PlanForm, PlanMap } from "../parts/planning-panes.js";
import { TestOffer } from "../parts/test-offer.js";
import { useAtrium } from "../parts/use-atrium.js";
import { useActivation } from "../parts/use-activation.js";
import { useConduction } from "../parts/use-conduction.js";
import { usePlanning } from "../parts/use-planning.js";
import { useSubmission } from "../parts/use-submission.js";
import { useWayBack } from "../parts/use-way-back.js";
import { Show, Trouble } from "../parts/waiting.js";

/** @param {{params: Record<string, string>, query: URLSearchParams}} props */
export function PlannerPage({ params, query }) {
  const scenario = useResource(at(`/scenarios/${encodeURIComponent(params.scenario)}`));
  const earlier = query.get("from");
  const draft = /** @type {PracticeDraft} */ (useDraft("plan", params.scenario));
  const [anew, setAnew] = useState(0);
  const before = useResource(earlier ? at(`/plans/${encodeURIComponent(earlier)}`) : null);
  const read = /** @type {Api.ScenarioDetail | undefined} */ (scenario.data);
  const atrium = useAtrium(read?.scenario.patient.left_atrium_mm, read?.scenario.patient.right_atrium_mm);
  if (scenario.problem instanceof ApiProblem && scenario.problem.kind === "test-open") {
    return html`<${Page} title="A test is open" lead="A scenario is not practised while you sit it as a test."><${OpenTests} /><//>`;
  }
  return html`<${Page} title=${read?.scenario.title || "Scenario"} lead=${has("trainee") && read ? "Practice: conduction is live, and you can try as often as you like." : ""} kind="planner">
    <${Show} of=${scenario} what="the scenario">${(/** @type {Api.ScenarioDetail} */ detail) => html`
      <${Show} of=${atrium} what="the map">${(/** @type {import("../model/atrium.js").Atrium} */ shape) => {
        if ((earlier && before.loading) || draft.kept === undefined) return null;
        const plan = /** @type {Api.PlanDetail | undefined} */ (before.data)?.plan, kept = !earlier && anew === 0 && has("trainee") ? draft.kept : null;
        return html`${kept && html`<p class="notice">You go on with what you planned here ${timeWords(kept.at)}${kept.body.scenario_version === detail.scenario.version ? "" : "; the scenario has changed since"}.
            <button type="button" class="quiet" onClick=${() => { draft.drop(); setAnew(anew + 1); }}>Begin anew</button></p>`}
          <${Planner} key=${anew} detail=${detail} atrium=${shape} draft=${draft} start=${plan ? again(plan) : kept ? fromSaved(kept.body.plan) : emptyPlan()} />`;
      }}<//>`}<//>
  <//>`;
}

/** A plan for practice that is being made, kept on this device. @typedef {ReturnType<typeof useDraft<{plan: Api.Plan, scenario_version: number}>>} PracticeDraft */

/** @param {{detail: Api.ScenarioDetail, atrium: import("../model/atrium.js").Atrium, start: Api.Plan, draft: PracticeDraft}} props */
function Planner({ detail, atrium, start, draft }) {
  const { scenario, pattern, attempts } = detail;
  const planning = usePlanning(atrium, scenario.asks, start);
  const { plan, pen, lit, pick, drawing } = planning;
  const set = lesionSet(pen ? { ...plan, lesions: pen.lesions } : plan, scenario.patient, detail.wavelength);
  const conduction = useConduction(set);
  const activation = useActivation(atrium, set);
  const way = useWayBack();
  const pickInList = (/** @type {string} */ key) => { pick(key); if (!lit.has(key)) way.show(document.activeElement); };
  const [began] = useState(() => canonical(start));
  useEffect(() => { if (has("trainee") && canonical(plan) !== began) draft.keep({ plan, scenario_version: scenario.version }); }, [plan]);
  const sending = useSubmission(scenario, planning, { after: draft.drop });
  const { result, stale } = conduction;
  useEffect(() => { if (drawing && !conduction.on) conduction.start(); }, [drawing]);
  const toggle = html`${conduction.on ? html`<button type="button" class="quiet" onClick=${conduction.stop}>Hide conduction</button>`
    : html`<button type="button" class="quiet" onClick=${conduction.start}>Check conduction</button>`}
    ${!activation.on && html`<button type="button" class="quiet" onClick=${activation.start}>Show activation</button>`}`;
  return html`
    ${has("trainee") && html`<${TestOffer} scenario=${scenario} />`}
    <div class="three">
      <${AboutPatient} scenario=${scenario} pattern=${pattern} atrium=${atrium}>
        ${attempts.length > 0 && html`<h2>Earlier attempts</h2><${Attempts} plans=${attempts} />`}
      <//>
      <${PlanMap} atrium=${atrium} planning=${planning} result=${result} stale=${stale} act=${toggle} activation=${activation} map=${way.map}>
        ${result && html`<p class="small stale-note">${stale ? "Conduction is being computed again: what you see is from before the change." : "Conduction is that of the lesions on the map."}</p>`}
        ${conduction.problem && html`<${Trouble} problem=${conduction.problem} />`}
        ${result && html`<${ConductionPanel} atrium=${atrium} set=${set} result=${result} stale=${stale} lit=${lit} onPick=${pickInList} />${way.back}`}
      <//>
      <${PlanForm} atrium=${atrium} planning=${planning} asks=${scenario.asks} sending=${sending} result=${stale ? undefined : result}>
        ${has("trainee")
          ? html`<button type="submit" class="main-act" disabled=${sending.busy}>Submit for grading</button><p class="small">A submitted plan is graded at once and never changes. You can try again.</p>`
          : html`<p class="small">Only trainees submit plans. Checking conduction works for everyone.</p>`}
      <//>
    </div>`;
}
