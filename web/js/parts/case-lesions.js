// The lesions of a case: a common set, adjusted on the map or in the list below it, and the left appendage.
import { useState } from "preact/hooks";
import { replaceLesions } from "../acts/lesions.js";
import { html } from "../lib/html.js";
import { withSteps } from "../model/case-record.js";
import { fromPreset, presetOf, presets } from "../model/presets.js";
import { Ladder } from "./choices.js";
import { SelectField } from "./field.js";
import { AtrialMap } from "./atrial-map.js";
import { DrawActs, DrawBar } from "./draw-bar.js";
import { LesionPicker } from "./lesion-picker.js";
import { Quick } from "./quick.js";
import { useDrawing } from "./use-drawing.js";

const results = [{ id: "closed", name: "Closed, no flow" }, { id: "residual-flow", name: "Residual flow" }, { id: "stump", name: "Stump left" }, { id: "not-checked", name: "Not checked" }];

/** @typedef {import("../acts/history.js").Act<any>} Act */

/** @param {import("./case-fields.js").Part & {atrium: import("../model/atrium.js").Atrium, onAct: (act: Act) => void}} props onAct: a change of the record that builds on the last one */
export function LesionPart({ record, atrium, faults, onChange, onAct }) {
  const [lit, setLit] = useState(/** @type {Set<string>} */ (new Set()));
  const act = (/** @type {Act} */ one) => onAct({ ...one, apply: before => withSteps(one.apply(before)) });
  const pen = useDrawing(atrium, /** @type {any} */ (record), act, lit, setLit);
  const fresh = (/** @type {Api.CatalogueLesion} */ lesion) => fromPreset([lesion.id], record.lesions)[0];
  const pick = (/** @type {string} */ key) => setLit(before => (before.has(key) ? new Set() : new Set([key])));
  return html`<fieldset class="group"><legend>Lesions made</legend>
    <div class="presets" role="group" aria-label="Begin with">
      <span class="hint">Begin with a common set, then adjust it.</span>
      ${presets.map(preset => html`<button type="button" class="quiet" aria-pressed=${presetOf(record.lesions) === preset.id}
        onClick=${() => act(replaceLesions(fromPreset(preset.lesions, record.lesions), preset.name))}>${preset.name}</button>`)}
    </div>
    ${faults.get("lesions") && html`<p class="fault">${faults.get("lesions")}</p>`}
    <${AtrialMap} atrium=${atrium} lesions=${pen.shown} appendage=${record.left_appendage.state} lit=${lit} onPick=${pick} pen=${pen} />
    <${DrawActs} drawing=${pen} /><${DrawBar} atrium=${atrium} drawing=${pen} />
    <details class="adjust" open=${lit.size > 0}><summary>Lesion by lesion: energy, applications, block test</summary>
      <${LesionPicker} atrium=${atrium} lesions=${record.lesions} fresh=${fresh} onAct=${act} lit=${lit} faults=${faults} pen=${pen} /></details>
    <${AppendagePart} record=${record} atrium=${atrium} faults=${faults} onChange=${onChange} />
  </fieldset>`;
}

/** @param {{record: Api.CaseRecord, atrium: import("../model/atrium.js").Atrium, faults: Map<string, string>, onChange: (change: Partial<Api.CaseRecord>) => void}} props */
function AppendagePart({ record, atrium, faults, onChange }) {
  const { appendage_states: states, appendage_methods: methods } = atrium.facts;
  const appendage = record.left_appendage;
  const treat = (/** @type {object} */ change) => onChange(withSteps({ ...record, left_appendage: { ...appendage, ...change } }));
  return html`
    <${Ladder} legend="Left appendage" name="left_appendage.state" value=${appendage.state} options=${states} fault=${faults.get("left_appendage.state") || faults.get("left_appendage")}
      onValue=${(/** @type {string} */ state) => treat({ state })} />
    ${appendage.state !== "kept" && html`
      <${SelectField} label="Method" name="left_appendage.method" value=${appendage.method || ""} options=${methods} choose="Choose a method" fault=${faults.get("left_appendage.method")}
        onValue=${(/** @type {string} */ method) => treat({ method })} />
      <${Quick} label="Result" name="left_appendage.result" shown=${true} value=${appendage.result || ""} options=${results} fault=${faults.get("left_appendage.result")}
        onValue=${(/** @type {string} */ result) => treat({ result })} />`}`;
}
