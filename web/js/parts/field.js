// Form fields: a label above, a hint below it, and the fault beside the field it is about.
import { useId } from "preact/hooks";
import { html } from "../lib/html.js";

/** @typedef {{label: string, name?: string, hint?: string, fault?: string}} FieldProps */

/** @param {FieldProps & {control: (attributes: Record<string, unknown>) => unknown}} props */
export function Field({ label, name, hint, fault, control }) {
  const id = useId();
  const described = [hint && `${id}-hint`, fault && `${id}-fault`].filter(Boolean).join(" ");
  const attributes = { id, name, "aria-describedby": described || undefined, "aria-invalid": fault ? "true" : undefined };
  return html`<div class="field" data-field=${name}>
    <label for=${id}>${label}</label>
    ${hint && html`<p class="hint" id=${`${id}-hint`}>${hint}</p>`}
    ${control(attributes)}
    ${fault && html`<p class="fault" id=${`${id}-fault`}>${fault}</p>`}
  </div>`;
}

/** @param {FieldProps & {value: string, onValue: (value: string) => void, type?: string, required?: boolean, autocomplete?: string, maxlength?: number, max?: string}} props */
export const TextField = ({ value, onValue, type = "text", required, autocomplete, maxlength, max, ...rest }) => html`<${Field} ...${rest} control=${(/** @type {Record<string, unknown>} */ attributes) => html`
  <input ...${attributes} type=${type} value=${value} required=${required} autocomplete=${autocomplete} maxlength=${maxlength} max=${max}
    onInput=${(/** @type {any} */ event) => onValue(event.target.value)} />`} />`;

/** A whole or decimal number; an empty field is 0. @param {FieldProps & {value: number, onValue: (value: number) => void, min?: number, max?: number, step?: number, unit?: string}} props */
export const NumberField = ({ value, onValue, min = 0, max, step = 1, unit, ...rest }) => html`<${Field} ...${rest} control=${(/** @type {Record<string, unknown>} */ attributes) => html`
  <span class="with-unit"><input ...${attributes} type="number" inputmode="decimal" value=${value} min=${min} max=${max} step=${step}
    onInput=${(/** @type {any} */ event) => onValue(Number(event.target.value) || 0)} />${unit && html`<span>${unit}</span>`}</span>`} />`;

/** @param {FieldProps & {value: string, onValue: (value: string) => void, rows?: number, maxlength?: number}} props */
export const LongField = ({ value, onValue, rows = 3, maxlength = 2000, ...rest }) => html`<${Field} ...${rest} control=${(/** @type {Record<string, unknown>} */ attributes) => html`
  <textarea ...${attributes} rows=${rows} maxlength=${maxlength}
    value=${value} onInput=${(/** @type {any} */ event) => onValue(event.target.value)}></textarea>`} />`;

/** @param {FieldProps & {value: string, options: {id: string, name: string}[], onValue: (value: string) => void, choose?: string}} props choose: words of the empty choice */
export const SelectField = ({ value, options, onValue, choose, ...rest }) => html`<${Field} ...${rest} control=${(/** @type {Record<string, unknown>} */ attributes) => html`
  <select ...${attributes} value=${value} onChange=${(/** @type {any} */ event) => onValue(event.target.value)}>
    ${choose && html`<option value="" selected=${value === ""}>${choose}</option>`}
    ${options.map(option => html`<option value=${option.id} selected=${option.id === value}>${option.name}</option>`)}
  </select>`} />`;

/** @param {{label: string, value: boolean, onValue: (value: boolean) => void, name?: string}} props */
export const CheckField = ({ label, value, onValue, name }) => html`<label class="check">
  <input type="checkbox" name=${name} checked=${value} onChange=${(/** @type {any} */ event) => onValue(event.target.checked)} /><span>${label}</span></label>`;
