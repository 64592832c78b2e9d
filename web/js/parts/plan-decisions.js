// The decisions of a plan, in the order a surgeon takes them. Only those the scenario asks for are shown.
import { useState } from "preact/hooks";
import { choosePacing, decideAblation, giveReason, planAftercare, tellPatient, treatAppendage, writeNote } from "../acts/answers.js";
import { html } from "../lib/html.js";
import { choosesLesions, months, newLesion } from "../model/plan-draft.js";
import { AppendageFields } from "./appendage-fields.js";
import { Ladder } from "./choices.js";
import { LongField, NumberField, SelectField, TextField } from "./field.js";
import { KeptWords } from "./kept-words.js";
import { LesionPicker } from "./lesion-picker.js";
import { StepOrder } from "./step-order.js";
import { ToldFields } from "./told-fields.js";

/**
 * @param {{atrium: import("../model/atrium.js").Atrium, plan: Api.Plan, asks: string[], onAct: (act: any) => void, lit: Set<string>, faults: Map<string, string>,
 *   pen: import("./lesion-picker.js").Pen, work?: (index: number) => string,
 *   keeping?: {stopped: import("../model/kept-words.js").Stopped[], overrides: Api.Override[], amiss?: string[], onOverrides: (overrides: Api.Override[]) => void}}} props
 */
export function PlanDecisions({ atrium, plan, asks, onAct, lit, faults, pen, work, keeping }) {
  return html`
    ${asks.includes("ablation") && html`<${Ladder} legend="Ablate?" name="ablate" value=${plan.ablate === null ? "" : String(plan.ablate)}
      fault=${faults.get("ablate")}
      options=${[{ id: "true", name: "Ablate" }, { id: "false", name: "Do not ablate" }]} onValue=${(/** @type {string} */ id) => onAct(decideAblation(id === "true"))} />`}
    ${plan.ablate === false && html`<${SelectField} label="Why not" name="reason" value=${plan.reason || ""}
      options=${atrium.facts.reasons} choose="Choose the reason" fault=${faults.get("reason")}
      onValue=${(/** @type {string} */ reason) => onAct(giveReason(reason))} />`}
    ${choosesLesions(plan, asks) && html`<h3 id="lesions">Lesions</h3>
      <${LesionPicker} atrium=${atrium} lesions=${plan.lesions} fresh=${(/** @type {Api.CatalogueLesion} */ lesion) => newLesion(plan, lesion)} onAct=${onAct}
        lit=${lit} faults=${faults} pen=${pen} work=${work} />`}
    ${asks.includes("appendage") && html`<${AppendageFields} atrium=${atrium} appendage=${plan.left_appendage} faults=${faults} planning=${true}
      onChange=${(/** @type {Partial<Api.Appendage>} */ change) => onAct(treatAppendage(change))} />`}
    ${asks.includes("steps") && html`<${StepOrder} steps=${atrium.facts.steps} order=${plan.steps || []} onAct=${onAct} faults=${faults} />`}
    ${asks.includes("pacing") && html`<${Ladder} legend="Temporary pacing wires left at the end" name="pacing_wires" value=${plan.pacing_wires || ""} options=${atrium.facts.pacing_wires}
      fault=${faults.get("pacing_wires")} onValue=${(/** @type {string} */ wires) => onAct(choosePacing(wires))} />`}
    ${asks.includes("told") && html`<${ToldFields} told=${plan.told} faults=${faults}
      onChange=${(/** @type {keyof Api.Told} */ what, /** @type {Partial<Api.Range>} */ change) => onAct(tellPatient(what, change))} />`}
    ${asks.includes("aftercare") && html`<${Aftercare} aftercare=${plan.aftercare} faults=${faults}
      onChange=${(/** @type {Partial<Api.Aftercare>} */ change) => onAct(planAftercare(change))} />`}
    <${LongField} label="Note to yourself" name="note" hint="Kept with the plan. Nothing about a real patient." value=${plan.note || ""} fault=${faults.get("note")}
      onValue=${(/** @type {string} */ note) => onAct(writeNote(note))} />
    ${keeping && html`<${KeptWords} ...${keeping} field="plan.note" text=${plan.note || ""} onText=${(/** @type {string} */ note) => onAct(writeNote(note))} />`}`;
}

const afterwards = [{ id: "by-stroke-risk", name: "then by stroke risk" }, { id: "stop-if-sinus-rhythm", name: "then stop if in sinus rhythm" }, { id: "stop", name: "then stop" }];

/** @param {{aftercare?: Api.Aftercare, faults: Map<string, string>, onChange: (change: Partial<Api.Aftercare>) => void}} props */
const Aftercare = ({ aftercare, faults, onChange }) => html`<fieldset class="group" data-field="aftercare">
  <legend>Aftercare</legend>
  <${NumberField} label="Anticoagulation for at least" name="aftercare.anticoagulation_months" unit="months" max=${120}
    value=${aftercare?.anticoagulation_months ?? ""} fault=${faults.get("aftercare.anticoagulation_months") || faults.get("aftercare")}
    onValue=${(/** @type {number} */ anticoagulation_months) => onChange({ anticoagulation_months })} />
  <${SelectField} label="And afterwards" name="aftercare.anticoagulation_then" options=${afterwards} value=${aftercare?.anticoagulation_then || ""} choose="Choose"
    fault=${faults.get("aftercare.anticoagulation_then")}
    onValue=${(/** @type {string} */ anticoagulation_then) => onChange({ anticoagulation_then })} />
  <${MonitoringMonths} value=${aftercare?.monitoring_months || []} fault=${faults.get("aftercare.monitoring_months")}
    onValue=${(/** @type {number[]} */ monitoring_months) => onChange({ monitoring_months })} />
  <${NumberField} label="Each time for" name="aftercare.monitoring_hours" unit="hours" max=${9999} value=${aftercare?.monitoring_hours ?? ""}
    fault=${faults.get("aftercare.monitoring_hours")}
    onValue=${(/** @type {number} */ monitoring_hours) => onChange({ monitoring_hours })} />
</fieldset>`;

/** A list typed as text; what is typed stays as it is until it means something else. @param {{value: number[], fault?: string, onValue: (value: number[]) => void}} props */
function MonitoringMonths({ value, fault, onValue }) {
  const [text, setText] = useState(value.join(", "));
  const shown = months(text).join() === value.join() ? text : value.join(", ");
  return html`<${TextField} label="Rhythm monitoring at months" name="aftercare.monitoring_months" hint="One or several, parted by commas." value=${shown}
    fault=${fault}
    onValue=${(/** @type {string} */ typed) => { setText(typed); onValue(months(typed)); }} />`;
}
