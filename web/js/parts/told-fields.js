// What the patient is told to expect: two ranges in percent.
import { useId } from "preact/hooks";
import { html } from "../lib/html.js";

/** @param {{told?: Api.Told, faults: Map<string, string>, onChange: (what: keyof Api.Told, change: Partial<Api.Range>) => void}} props */
export const ToldFields = ({ told, faults, onChange }) => html`<fieldset class="group" data-field="told">
  <legend>What you tell the patient</legend>
  <p class="hint">Give honest ranges for this patient: as narrow as the evidence allows, and no narrower.</p>
  <${RangeField} label="In sinus rhythm 12 months after the operation" what="sinus_rhythm_percent" range=${told?.sinus_rhythm_percent} faults=${faults} onChange=${onChange}
    hint="Of 100 patients like this one with this operation." />
  <${RangeField} label="A new pacemaker after the operation" what="pacemaker_percent" range=${told?.pacemaker_percent} faults=${faults} onChange=${onChange}
    hint="Of 100 patients like this one, before leaving hospital." />
  ${faults.get("told") && html`<p class="fault">${faults.get("told")}</p>`}
</fieldset>`;

/** @param {{label: string, hint: string, what: keyof Api.Told, range?: Api.Range, faults: Map<string, string>, onChange: (what: keyof Api.Told, change: Partial<Api.Range>) => void}} props */
function RangeField({ label, hint, what, range, faults, onChange }) {
  const id = useId();
  const fault = ["", ".low", ".high"].map(end => faults.get(`told.${what}${end}`)).find(Boolean);
  const end = (/** @type {"low" | "high"} */ side, /** @type {string} */ word) => html`<label class="range-end" data-field=${`told.${what}.${side}`}><span>${word}</span>
    <input type="number" inputmode="decimal" min="0" max="100" step="any" aria-label=${`${label}: ${word}, percent`} aria-invalid=${fault ? "true" : undefined}
      aria-describedby=${`${id}-hint${fault ? ` ${id}-fault` : ""}`} value=${range?.[side] ?? ""}
      onInput=${(/** @type {any} */ event) => onChange(what, { [side]: event.target.value === "" ? null : Number(event.target.value) })} /></label>`;
  return html`<div class="field" role="group" aria-labelledby=${`${id}-label`} data-field=${`told.${what}`}>
    <p class="range-label" id=${`${id}-label`}>${label}</p>
    <p class="hint" id=${`${id}-hint`}>${hint}</p>
    <div class="range">${end("low", "from")}${end("high", "to")}<span>%</span></div>
    ${fault && html`<p class="fault" id=${`${id}-fault`}>${fault}</p>`}
  </div>`;
}
