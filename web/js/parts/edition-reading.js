// A scenario as a reviewer reads it: first what the trainee sees, then the answers on the map with the grades they get.
import { useState } from "preact/hooks";
import { html } from "../lib/html.js";
import { capital, named, Word, word } from "../lib/words.js";
import { gradeOf, lines } from "../model/check.js";
import { policyPath } from "../model/policy.js";
import { answerName, askWords, kinds } from "../model/scenario-draft.js";
import { AnswerGrade, wantedWords } from "./answers-editor.js";
import { AtrialMap } from "./atrial-map.js";
import { Caution } from "./caution.js";
import { LesionTable } from "./lesion-table.js";
import { PatientFacts } from "./patient-facts.js";
import { useCheck } from "./use-check.js";
import { Trouble } from "./waiting.js";

/** @param {{scenario: Api.ScenarioText, pattern?: Api.Derivation, atrium: import("../model/atrium.js").Atrium}} props */
export function EditionReading({ scenario, pattern, atrium }) {
  const check = useCheck({ scenario: { ...scenario, status: "live" } }); // as it would be once approved
  const derived = pattern || check.result?.pattern;
  return html`
    <section class="as-trainee" aria-labelledby="as-trainee-title">
      <h2 id="as-trainee-title">As the trainee sees it</h2>
      <div class="two">
        <div><p class="vignette">${scenario.vignette || "No vignette yet."}</p>
          <h3>What is asked</h3><ul>${scenario.asks.map(ask => html`<li>${askWords[ask] || Word(ask)}</li>`)}</ul>
          <p>${scenario.minutes_limit ? `A test takes at most ${scenario.minutes_limit} minutes.` : "A test has no time limit."}</p>
          <${Caution} text=${atrium.facts.caution} /></div>
        <div>${derived ? html`<${PatientFacts} scenario=${scenario} pattern=${derived} facts=${atrium.facts} />` : html`<p>The AF history gives no pattern yet.</p>`}</div>
      </div>
    </section>
    <h2>Answers and their grades</h2>
    ${check.result && html`<p class="small">Graded under <a href=${policyPath(check.result)}>scope policy ${check.result.policy}, version ${check.result.policy_version}</a>, in force today.</p>`}
    ${check.problem && html`<${Trouble} problem=${check.problem} />`}
    ${(check.result?.faults || []).length > 0 && html`<div class="notice"><p class="strong">The check finds</p><ul>${lines(check.result?.faults || [], scenario).map(({ says }) => html`<li>${says}</li>`)}</ul></div>`}
    ${kinds.map(kind => html`<section key=${kind} aria-label=${kind === "expert" ? "Expert plans" : "Flawed plans"}>
      <h3>${kind === "expert" ? "Expert plans" : "Flawed plans"}</h3>
      ${scenario[kind].length === 0 && html`<p>None.</p>`}
      ${scenario[kind].map((_, index) => html`<${Answer} key=${index} scenario=${scenario} place=${{ kind, index }} atrium=${atrium} check=${check.result} stale=${check.stale} />`)}
    </section>`)}
    ${(scenario.alternatives.length > 0 || scenario.notes.length > 0) && html`<div class="two">
      ${scenario.alternatives.length > 0 && html`<section><h2>Accepted besides</h2><ul>${scenario.alternatives.map(one => html`<li>${one.scope ? `Scope ${word(one.scope)}` : Word(one.finding)}: ${one.why}</li>`)}</ul></section>`}
      ${scenario.notes.length > 0 && html`<section><h2>Notes</h2><ul>${scenario.notes.map(note => html`<li>${note.text} <cite class="small">${note.source}</cite></li>`)}</ul></section>`}
    </div>`}`;
}

/** @param {{scenario: Api.ScenarioText, place: import("../model/scenario-draft.js").AnswerPlace, atrium: import("../model/atrium.js").Atrium, check?: Api.Check, stale: boolean}} props */
function Answer({ scenario, place, atrium, check, stale }) {
  const [open, setOpen] = useState(place.kind === "expert" && place.index === 0);
  const { plan } = scenario[place.kind][place.index], grade = gradeOf(check, scenario, place);
  return html`<details class="answer-details" open=${open} onToggle=${(/** @type {any} */ event) => setOpen(event.currentTarget.open)}>
    <summary><span class="grade-letter">${grade?.letter || "-"}</span><span class="row-main">${answerName(scenario, place)}<small>${wantedWords(scenario, check, place)}${grade && !grade.ok ? ": not as it should be" : ""}</small></span><span class="amount show-hide">${open ? "Hide" : "Show"}</span></summary>
    ${open && html`<div class="two">
      <div><${AtrialMap} atrium=${atrium} lesions=${plan.lesions} appendage=${plan.left_appendage.state} /></div>
      <div>${place.kind === "expert" && html`<p>${scenario.expert[place.index].why}</p>`}
        ${place.kind === "flawed" && html`<p class="small">Must raise: ${scenario.flawed[place.index].codes.map(code => word(code)).join(", ") || "nothing named"}.</p>`}
        <${AnswerGrade} scenario=${scenario} check=${check} stale=${stale} place=${place} />
        ${plan.ablate === false && html`<p>No ablation: ${named(atrium.facts.reasons, plan.reason)}.</p>`}
        <${LesionTable} atrium=${atrium} lesions=${plan.lesions} appendage=${plan.left_appendage} />
        <${OtherDecisions} plan=${plan} facts=${atrium.facts} /></div>
    </div>`}
  </details>`;
}

/** What a plan decides besides its lesions. @param {{plan: Api.Plan, facts: Api.Atrium}} props */
function OtherDecisions({ plan, facts }) {
  const care = plan.aftercare;
  return html`<dl class="facts">
    ${care && html`<dt>Anticoagulation</dt><dd>${care.anticoagulation_months} months, ${word(care.anticoagulation_then)}</dd><dt>Monitoring</dt><dd>${care.monitoring_hours} hours at ${care.monitoring_months.join(", ")} months</dd>`}
    ${plan.steps && plan.steps.length > 0 && html`<dt>Steps</dt><dd>${plan.steps.map(step => named(facts.steps, step)).join(", ")}</dd>`}
    ${plan.pacing_wires && html`<dt>Pacing wires</dt><dd>${named(facts.pacing_wires, plan.pacing_wires)}</dd>`}
    ${plan.told && html`<dt>Told of sinus rhythm</dt><dd>${plan.told.sinus_rhythm_percent.low} to ${plan.told.sinus_rhythm_percent.high} %</dd><dt>Told of a pacemaker</dt><dd>${plan.told.pacemaker_percent.low} to ${plan.told.pacemaker_percent.high} %</dd>`}
    ${plan.note && html`<dt>Note</dt><dd>${capital(plan.note)}</dd>`}
  </dl>`;
}
