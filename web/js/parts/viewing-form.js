// What an external reviewer may see: chosen trainees, the cohort's figures, or both.
import { html } from "../lib/html.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { CheckField, SelectField } from "./field.js";
import { Show } from "./waiting.js";

/** @typedef {{trainees: string[], figures: string}} Viewing */

const figures = [
  { id: "", name: "None" },
  { id: "counts", name: "How many trainees are in each state" },
  { id: "rows", name: "Each trainee's line, without a name" },
];

/** @param {{value: Viewing, fault: (field: string) => string | undefined, onValue: (value: Viewing) => void}} props */
export function ViewingForm({ value, fault, onValue }) {
  const people = useResource(at("/people?role=trainee"));
  const choose = (/** @type {string} */ id, /** @type {boolean} */ on) => onValue({ ...value, trainees: on ? [...value.trainees, id] : value.trainees.filter(one => one !== id) });
  const wrong = fault("viewing") || fault("viewing.trainees") || fault("trainees");
  return html`<fieldset class="checks" data-field="viewing"><legend>Trainees whose records the reviewer reads</legend>
      <${Show} of=${people} what="the trainees">${(/** @type {Api.Page<Api.Person>} */ list) => list.items.map(one => html`<${CheckField} key=${one.id} label=${one.name} value=${value.trainees.includes(one.id)}
        onValue=${(/** @type {boolean} */ on) => choose(one.id, on)} />`)}<//>
      ${wrong && html`<p class="fault">${wrong}</p>`}</fieldset>
    <${SelectField} label="Figures of the cohort, without names" name="figures" value=${value.figures} options=${figures} fault=${fault("viewing.figures") || fault("figures")}
      onValue=${(/** @type {string} */ chosen) => onValue({ ...value, figures: chosen })} />`;
}
