// A graded plan: the grade, the findings beside the map, and the way back to another attempt.
import { useState } from "preact/hooks";
import { html } from "../lib/html.js";
import { timeWords } from "../lib/days.js";
import { mm } from "../lib/numbers.js";
import { useResource } from "../lib/resource.js";
import { at, session } from "../lib/session.js";
import { withQuery } from "../lib/api.js";
import { findingsAbout, keysOf } from "../model/about.js";
import { namedCircuits } from "../model/conduction.js";
import { policyPath } from "../model/policy.js";
import { lesionSet } from "../model/plan-draft.js";
import { ActivationBar } from "../parts/activation-bar.js";
import { AtrialMap } from "../parts/atrial-map.js";
import { Attempts } from "../parts/attempts.js";
import { BesideExpert } from "../parts/beside-expert.js";
import { Caution } from "../parts/caution.js";
import { ConductionPanel } from "../parts/conduction-panel.js";
import { DecisionWords } from "../parts/decision-words.js";
import { Findings } from "../parts/findings.js";
import { GradeHead, GradeParts } from "../parts/grade-head.js";
import { LesionTable } from "../parts/lesion-table.js";
import { Page } from "../parts/page.js";
import { PatientFacts } from "../parts/patient-facts.js";
import { useActivation } from "../parts/use-activation.js";
import { useAtrium } from "../parts/use-atrium.js";
import { useWayBack } from "../parts/use-way-back.js";
import { Show } from "../parts/waiting.js";

/** @param {{params: Record<string, string>}} props */
export function PlanPage({ params }) {
  const plan = useResource(at(`/plans/${encodeURIComponent(params.plan)}`));
  const read = /** @type {Api.PlanDetail | undefined} */ (plan.data);
  const scenario = useResource(read ? at(`/scenarios/${encodeURIComponent(read.scenario)}`) : null);
  const patient = /** @type {Api.ScenarioDetail | undefined} */ (scenario.data)?.scenario.patient;
  const atrium = useAtrium(patient?.left_atrium_mm, patient?.right_atrium_mm);
  const lead = read && html`${read.trainee === session.value?.person.id ? "" : `${read.trainee_name}, `}attempt ${read.attempt}, ${read.mode}, ${timeWords(read.submitted_at)}`;
  return html`<${Page} title=${read ? read.scenario_title : "Graded plan"} lead=${lead} kind="planner">
    <${Show} of=${plan} what="the plan">${(/** @type {Api.PlanDetail} */ detail) => html`
      <${Show} of=${atrium} what="the map">${(/** @type {import("../model/atrium.js").Atrium} */ shape) => html`
        <${Graded} key=${detail.id} detail=${detail} atrium=${shape} scenario=${scenario.data} />`}<//>`}<//>
  <//>`;
}

/** @param {{detail: Api.PlanDetail, atrium: import("../model/atrium.js").Atrium, scenario?: Api.ScenarioDetail}} props */
function Graded({ detail, atrium, scenario }) {
  const { plan, grade } = detail;
  const { findings, result } = grade;
  const [chosen, setChosen] = useState(/** @type {number | null} */ (null));
  const [picked, setPicked] = useState("");
  const way = useWayBack();
  const set = lesionSet(plan, scenario?.scenario.patient, usedBy(result));
  const activation = useActivation(atrium, set, { on: true });
  const lit = chosen === null ? new Set([picked]) : keysOf(findings[chosen], chosen, result);
  const about = chosen === null && picked ? findingsAbout(findings, lit, result) : [];
  const placed = findings.map((finding, index) => ({ finding, index })).filter(({ finding }) => finding.place && finding.severity !== "remark");
  const numbers = new Map(placed.map(({ index }, i) => [index, i + 1]));
  const marks = placed.map(({ finding, index }) => ({ key: `finding:${index}`, number: numbers.get(index) || 0, says: finding.what, chamber: /** @type {Api.Place} */ (finding.place).chamber, at: /** @type {Api.Place} */ (finding.place).at }));
  const pickOnMap = (/** @type {string} */ key) => { setChosen(null); setPicked(before => (before === key ? "" : key)); };
  const pickInList = (/** @type {string} */ key) => { pickOnMap(key); if (key !== picked) way.show(document.activeElement); };
  const choose = (/** @type {number | null} */ index, /** @type {Element} */ from) => {
    setPicked("");
    setChosen(index);
    if (index !== null) way.show(from);
  };
  return html`<div class="three graded">
    <section class="grade-head" aria-label="Grade"><${GradeHead} grade=${grade} /></section>
    <section class="drawing" aria-label="Map of the plan">
      <h2 class="unseen">What the plan does</h2>
      <div class="map-stick" ref=${way.map}>
        <${AtrialMap} atrium=${atrium} lesions=${plan.lesions} appendage=${plan.left_appendage.state} result=${result} marks=${marks} lit=${lit}
          onPick=${pickOnMap} activation=${activation} />
        <${ActivationBar} of=${activation} result=${result} />
      </div>
      <${Caution} text=${grade.caution} />
      <${ConductionPanel} atrium=${atrium} set=${set} result=${result} lit=${lit} onPick=${pickInList} />
    </section>
    <section class="findings-side" aria-label="Findings">
      <h2 class="unseen">Findings</h2>
      <${Findings} findings=${findings} numbers=${numbers} tags=${circuitWords(result)} chosen=${chosen} about=${about} leads=${(/** @type {number} */ index) => keysOf(findings[index], index, result).size > 1} onChoose=${choose} />
      ${detail.trainee === session.value?.person.id && html`<div class="bar">
        <a class="button" href=${withQuery(`/scenarios/${encodeURIComponent(detail.scenario)}`, { from: detail.id })}>Try again</a>
        <a class="button quiet" href="/scenarios">All scenarios</a>
      </div>`}
      <${GradeParts} grade=${grade} />
      <p class="small">Graded by <a href=${policyPath(grade)}>policy ${grade.policy}, version ${grade.policy_version}</a>; conduction model ${grade.model}; scenario version ${grade.scenario_version}. Points are taken from 100.</p>
    </section>
    <section class="in-words" aria-label="The plan in words">
      <h2 class="first">Lesion set</h2>
      <${LesionTable} atrium=${atrium} lesions=${plan.lesions} appendage=${plan.left_appendage} result=${grade.result} />
      <${DecisionWords} atrium=${atrium} plan=${plan} />
      ${plan.note && html`<h2>Note</h2><p>${plan.note}</p>`}
    </section>
    <section class="about" aria-label="Patient and attempts">
      ${scenario && html`<p class="vignette">${scenario.scenario.vignette}</p><${PatientFacts} scenario=${scenario.scenario} pattern=${scenario.pattern} facts=${atrium.facts} />
        ${(scenario.scenario.notes || []).map(note => html`<p class="small">${note.text} <cite>${note.source}</cite></p>`)}
        ${scenario.attempts.length > 1 && html`<h2>Your attempts</h2><${Attempts} plans=${scenario.attempts} current=${detail.id} />`}`}
    </section>
    ${way.back}
  </div>
  <${BesideExpert} own=${detail} whose=${detail.trainee === session.value?.person.id ? "Your plan" : `${detail.trainee_name}'s plan`} />`;
}

/** The wavelength a grade was computed with. @param {Api.Result} result @returns {Api.Wavelength | undefined} */
function usedBy({ wavelength_mm, activation: { velocity_m_s } }) {
  return velocity_m_s ? { conduction_velocity_m_s: velocity_m_s, refractory_period_ms: Number((wavelength_mm / velocity_m_s).toFixed(1)) } : undefined;
}

/** The circuit a finding is about, named as on the map. @param {Api.Result} result */
function circuitWords(result) {
  const circuits = namedCircuits(result);
  return (/** @type {Api.Finding} */ { place }) => {
    const one = place && circuits.find(({ chamber, index }) => chamber === place.chamber && index === place.circuit);
    return one ? `Circuit ${one.tag}, ${mm(one.circuit.length_mm)}` : "";
  };
}
