// What faculty accept on a scenario besides the policy, and the notes that teach with it.
import { addItem, removeItem, withValue, writeField } from "../acts/scenario.js";
import { html } from "../lib/html.js";
import { Word } from "../lib/words.js";
import { LongField, SelectField, TextField } from "./field.js";

/** @typedef {import("./scenario-fields.js").Part} Part */

/** @param {Part} props */
export const AcceptedPart = ({ scenario, facts, faults, onAct }) => html`<fieldset class="group" data-field="alternatives"><legend>Accepted besides</legend>
  <p class="hint">A scope or a finding that takes no points here though the policy asks for something else. Each needs its reason; a critical finding can never be accepted.</p>
  ${scenario.alternatives.map((one, index) => html`<${Accepted} key=${index} one=${one} index=${index} facts=${facts} faults=${faults} onAct=${onAct} />`)}
  <button type="button" class="quiet" onClick=${() => onAct(addItem("alternatives", { scope: "", finding: "", why: "" }, "something accepted"))}>Accept something</button>
</fieldset>`;

/** @param {{one: Api.Defensible, index: number} & Pick<Part, "facts" | "faults" | "onAct">} props */
function Accepted({ one, index, facts, faults, onAct }) {
  const field = `alternatives[${index}]`;
  const set = (/** @type {Partial<Api.Defensible>} */ change) => onAct({ says: "change what is accepted", merge: `${field} ${Object.keys(change).join()}`,
    apply: scenario => withValue(scenario, ["alternatives", index], { ...scenario.alternatives[index], ...change }) });
  const what = one.scope ? `scope:${one.scope}` : one.finding ? `finding:${one.finding}` : "";
  const options = [...facts.authoring.scopes.map(id => ({ id: `scope:${id}`, name: `Scope: ${Word(id)}` })),
    ...facts.authoring.codes.filter(code => code.severity !== "critical" && code.severity !== "remark").map(({ code }) => ({ id: `finding:${code}`, name: `Finding: ${Word(code)}` }))];
  const pick = (/** @type {string} */ id) => { const [kind, value] = id.split(":"); set({ scope: kind === "scope" ? value : "", finding: kind === "finding" ? value : "" }); };
  return html`<div class="item" data-field=${field}>
    <${SelectField} label=${`Accepted ${index + 1}`} name=${`${field}.what`} value=${what} options=${options} choose="Choose a scope or a finding"
      fault=${faults.get(field) || faults.get(`${field}.scope`) || faults.get(`${field}.finding`)} onValue=${pick} />
    <${LongField} label=${`Why ${index + 1}`} name=${`${field}.why`} rows=${2} maxlength=${1000} value=${one.why} fault=${faults.get(`${field}.why`)} onValue=${(/** @type {string} */ why) => set({ why })} />
    <button type="button" class="quiet small-act" onClick=${() => onAct(removeItem("alternatives", index, "what is accepted"))}>${`Remove accepted ${index + 1}`}</button>
  </div>`;
}

/** @param {Part} props */
export const NotesPart = ({ scenario, faults, onAct }) => html`<fieldset class="group" data-field="notes"><legend>Notes</legend>
  <p class="hint">What to teach with this scenario, each with its source, or 'common practice, no source'. Shown with a grade.</p>
  ${scenario.notes.map((note, index) => {
    const field = `notes[${index}]`;
    const bind = (/** @type {"text" | "source"} */ part) => ({ name: `${field}.${part}`, value: note[part], fault: faults.get(`${field}.${part}`),
      onValue: (/** @type {string} */ value) => onAct(writeField(["notes", index, part], value, `note ${index + 1}`)) });
    return html`<div class="item" key=${index} data-field=${field}>
      <${LongField} label=${`Note ${index + 1}`} ...${bind("text")} rows=${3} maxlength=${1000} />
      <${TextField} label=${`Source of note ${index + 1}`} ...${bind("source")} maxlength=${300} />
      <button type="button" class="quiet small-act" onClick=${() => onAct(removeItem("notes", index, `note ${index + 1}`))}>${`Remove note ${index + 1}`}</button>
    </div>`;
  })}
  <button type="button" class="quiet" onClick=${() => onAct(addItem("notes", { text: "", source: "" }, "a note"))}>Add a note</button>
</fieldset>`;
