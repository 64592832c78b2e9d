// One field of a requirement, by its type in the table of kinds.
import { useState } from "preact/hooks";
import { html } from "../lib/html.js";
import { capital } from "../lib/words.js";
import { idsIn, percentOf } from "../model/standard.js";
import { CheckField, Field, SelectField, TextField } from "./field.js";

/**
 * @param {{field: Api.RequirementField, at: string, value: any, fault: string, levels: Api.Level[] | undefined, onValue: (value: unknown) => void}} props
 * at: where it stands, as a fault names it; levels: of the scale that is chosen
 */
export function RequirementField({ field, at, value, fault, levels, onValue }) {
  const part = { label: field.required ? field.label : `${field.label} (may be left out)`, hint: field.hint, name: at, fault };
  switch (field.type) {
    case "choice": return html`<${SelectField} ...${part} choose="Choose" options=${field.choices} value=${value || ""} onValue=${onValue} />`;
    case "level": return html`<${SelectField} ...${part} choose="Choose" options=${(levels || []).filter(({ level }) => level >= field.least && level <= field.most).map(({ level, name }) => ({ id: String(level), name: `${level}: ${name}` }))}
      value=${value ? String(value) : ""} onValue=${(/** @type {string} */ id) => onValue(Number(id))} />`;
    case "yes": return html`<div data-field=${at}><${CheckField} label=${field.label} value=${Boolean(value)} onValue=${onValue} />${fault && html`<p class="fault">${fault}</p>`}</div>`;
    case "list": return html`<fieldset class="checks" data-field=${at}><legend>${field.label}</legend>
      ${field.choices?.map(({ id, name }) => html`<${CheckField} key=${id} label=${capital(name)} value=${(value || []).includes(id)}
        onValue=${() => onValue(field.choices?.map(one => one.id).filter(one => (one === id) !== (value || []).includes(one)))} />`)}
      ${fault && html`<p class="fault">${fault}</p>`}</fieldset>`;
    case "names": return html`<${NamesField} ...${part} value=${value || []} onValue=${onValue} />`;
    case "share": return html`<${Amount} ...${part} unit="%" least=${percentOf(field.least)} most=${percentOf(field.most)} step="any" value=${percentOf(value || 0)} onValue=${(/** @type {number} */ percent) => onValue(Math.round(percent * 1e4) / 1e6)} />`;
    case "number": return html`<${Amount} ...${part} least=${field.least} most=${field.most} step=${0.01} value=${value || 0} onValue=${onValue} />`;
    default: return html`<${Amount} ...${part} unit=${field.unit} least=${field.least} most=${field.most} step=${1} value=${value || 0} onValue=${(/** @type {number} */ number) => onValue(Math.round(number))} />`;
  }
}

/** Ids with commas between; what is typed stays while it means the same. @param {import("./field.js").FieldProps & {value: string[], onValue: (ids: string[]) => void}} props */
function NamesField({ value, onValue, hint, ...rest }) {
  const [text, setText] = useState("");
  const shown = idsIn(text).join(" ") === value.join(" ") ? text : value.join(", ");
  return html`<${TextField} ...${rest} hint=${hint || "Words joined by hyphens, with commas between."} value=${shown} onValue=${(/** @type {string} */ typed) => { setText(typed); onValue(idsIn(typed)); }} />`;
}

/** A number that may be left empty; what is typed stays while it means the same. @param {import("./field.js").FieldProps & {value: number, unit?: string, least: number, most: number, step: number | string, onValue: (value: number) => void}} props */
function Amount({ value, unit, least, most, step, onValue, ...rest }) {
  const [text, setText] = useState("");
  const shown = text !== "" && Number(text) === value ? text : value === 0 ? "" : String(value);
  return html`<${Field} ...${rest} control=${(/** @type {Record<string, unknown>} */ attributes) => html`<span class="with-unit"><input ...${attributes} type="number" inputmode="decimal" min=${least} max=${most} step=${step} value=${shown}
    onInput=${(/** @type {any} */ event) => { setText(event.target.value); onValue(Number(event.target.value) || 0); }} />${unit && html`<span>${unit}</span>`}</span>`} />`;
}
