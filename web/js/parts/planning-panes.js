// The three parts of a page to plan on: the patient, the map with the drawing, and the decisions. Practice and test are built of the same.
import { html } from "../lib/html.js";
import { workOf } from "../model/recognised.js";
import { ActivationBar } from "./activation-bar.js";
import { AtrialMap } from "./atrial-map.js";
import { Caution } from "./caution.js";
import { DrawActs, DrawBar } from "./draw-bar.js";
import { FaultSummary } from "./fault-summary.js";
import { LesionTable } from "./lesion-table.js";
import { PatientFacts } from "./patient-facts.js";
import { PlanDecisions } from "./plan-decisions.js";
import { Trouble } from "./waiting.js";

/** @typedef {{atrium: import("../model/atrium.js").Atrium, planning: import("./use-planning.js").Planning}} Shared */

/** @param {{scenario: Api.Scenario, pattern: Api.Derivation, atrium: import("../model/atrium.js").Atrium, children?: unknown}} props */
export const AboutPatient = ({ scenario, pattern, atrium, children }) => html`<section class="about" aria-label="Patient and operation">
  <p class="vignette">${scenario.vignette}</p>
  <${PatientFacts} scenario=${scenario} pattern=${pattern} facts=${atrium.facts} />
  <${Caution} text=${atrium.facts.caution} />
  ${children}
</section>`;

/**
 * @param {Shared & {result?: Api.Result, stale?: boolean, act?: unknown, activation?: import("./use-activation.js").Activating,
 *   map?: {current: HTMLElement | null}, children?: unknown}} props
 * result: what the lesions do, where that may be seen; act: a further button; activation: likewise; map: a ref of the map; children: what stands below the map
 */
export function PlanMap({ atrium, planning, result, stale = false, act, activation, map, children }) {
  const { plan, pen, lit, pick, undoes, redoes, undo, redo } = planning;
  return html`<section class="drawing" aria-label="Map of the plan">
    <div class="map-stick" ref=${map}>
      <${AtrialMap} atrium=${atrium} lesions=${pen ? pen.shown : plan.lesions} appendage=${plan.left_appendage.state} result=${result} stale=${stale} lit=${lit} onPick=${pick} pen=${pen} activation=${activation} />
      ${pen && html`<${DrawActs} drawing=${pen} />`}
      ${activation?.on && html`<${ActivationBar} of=${activation} result=${stale ? undefined : result} />`}
    </div>
    ${pen && html`<${DrawBar} atrium=${atrium} drawing=${pen} />`}
    <div class="bar">
      ${act}
      <button type="button" class="quiet" disabled=${!undoes} title=${undoes} onClick=${undo}>Undo</button>
      <button type="button" class="quiet" disabled=${!redoes} title=${redoes} onClick=${redo}>Redo</button>
    </div>
    ${children}
    <details class="as-table"><summary>The plan as a table</summary><${LesionTable} atrium=${atrium} lesions=${plan.lesions} appendage=${plan.left_appendage} result=${stale ? undefined : result} /></details>
  </section>`;
}

/**
 * @param {Shared & {asks: string[], sending: ReturnType<typeof import("./use-submission.js").useSubmission>, result?: Api.Result, children?: unknown}} props
 * result: that of the lesions as they are now; children: the act at the end
 */
export function PlanForm({ atrium, planning, asks, sending, result, children }) {
  const { plan, act, lit, drawn } = planning;
  return html`<form class="decisions" aria-label="Your plan" novalidate onSubmit=${sending.submit}>
    <h2 class="first">Your plan</h2>
    <${FaultSummary} faults=${sending.lines} />
    ${sending.problem && html`<${Trouble} problem=${sending.problem} />`}
    <${PlanDecisions} atrium=${atrium} plan=${plan} asks=${asks} onAct=${act} lit=${lit} faults=${sending.faults} keeping=${sending.keeping} pen=${drawn}
      work=${(/** @type {number} */ index) => workOf(atrium, result, plan.lesions, index)} />
    ${children}
  </form>`;
}
