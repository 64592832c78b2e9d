// The requirements of a standard as cards to fill in, one a line of the standard.
import { useState } from "preact/hooks";
import { afterRender } from "../lib/after-render.js";
import { announce } from "../lib/announce.js";
import { html } from "../lib/html.js";
import { word } from "../lib/words.js";
import { asked, casesWords, chosen, faultAt, movedBy, newRequirement, otherFaults, valueOf, withField } from "../model/standard.js";
import { goTo } from "./fault-summary.js";
import { SelectField, TextField } from "./field.js";
import { RequirementField } from "./requirement-field.js";

/** @typedef {{requirements: Api.Requirement[], kinds: Api.RequirementKind[], facts: Api.Atrium, faults: Api.StandardFault[], says: string[], onChange: (requirements: Api.Requirement[]) => void}} Cards */

/** @param {Cards} props says: each in plain words, empty while it cannot be told */
export function RequirementCards({ requirements, kinds, facts, faults, says, onChange }) {
  const [chosenKind, setKind] = useState(kinds[0].kind);
  const kind = kinds.find(one => one.kind === chosenKind) || kinds[0];
  const add = () => {
    onChange([...requirements, newRequirement(kind, requirements)]);
    afterRender(() => goTo(`requirements[${requirements.length}].${kind.fields[0].name}`));
  };
  const move = (/** @type {number} */ index, /** @type {number} */ by) => {
    onChange(movedBy(requirements, index, by));
    announce(`${word(requirements[index].id)} is line ${index + by + 1} now.`);
    const acts = () => [...document.querySelectorAll(`[data-card="${index + by}"] .row-acts button`)];
    afterRender(() => { const [up, down] = /** @type {HTMLButtonElement[]} */ (acts()); (by < 0 && !up.disabled ? up : down.disabled ? up : down).focus(); });
  };
  const remove = (/** @type {number} */ index) => {
    onChange(requirements.filter((_, i) => i !== index));
    announce(`${word(requirements[index].id)} is removed.`);
    afterRender(() => goTo("add-kind"));
  };
  const whole = faultAt(faults, "requirements").split("; ").filter(Boolean);
  return html`<section data-field="requirements" aria-label="Requirements">
    ${whole.length > 0 && requirements.length === 0 && html`<p class="fault">A standard needs a requirement: add the first below.</p>`}
    <ol class="requirement-cards">${requirements.map((requirement, index) => html`<li key=${index} data-card=${index}>
      <${Card} requirement=${requirement} index=${index} kind=${kinds.find(one => one.kind === requirement.kind)} facts=${facts} faults=${faults} says=${says[index] || ""}
        onChange=${(/** @type {Api.Requirement} */ next) => onChange(requirements.map((one, i) => (i === index ? next : one)))}>
        <div class="bar row-acts">
          <button type="button" class="quiet small-act" aria-label=${`Up: move requirement ${index + 1}`} disabled=${index === 0} onClick=${() => move(index, -1)}>Up</button>
          <button type="button" class="quiet small-act" aria-label=${`Down: move requirement ${index + 1}`} disabled=${index === requirements.length - 1} onClick=${() => move(index, 1)}>Down</button>
          <button type="button" class="quiet small-act" aria-label=${`Remove requirement ${index + 1}`} onClick=${() => remove(index)}>Remove</button></div><//></li>`)}</ol>
    <div class="add-requirement"><${SelectField} label="Add a requirement" name="add-kind" hint=${kind.says} options=${kinds.map(one => ({ id: one.kind, name: one.name }))} value=${kind.kind} onValue=${setKind} />
      <button type="button" class="quiet" disabled=${requirements.length >= 40} onClick=${add}>Add it</button></div>
  </section>`;
}

/** @param {{requirement: Api.Requirement, index: number, kind: Api.RequirementKind | undefined, facts: Api.Atrium, faults: Api.StandardFault[], says: string, onChange: (next: Api.Requirement) => void, children?: unknown}} props */
function Card({ requirement, index, kind, facts, faults, says, onChange, children }) {
  const at = `requirements[${index}]`, fields = kind ? asked(kind, requirement) : [];
  const about = fields.filter(field => !field.name.startsWith("filter.")), filters = fields.filter(field => field.name.startsWith("filter."));
  const levels = requirement.scale === "supervision_next" ? facts.supervision_levels : facts.help_levels;
  const field = (/** @type {Api.RequirementField} */ one) => html`<${RequirementField} key=${one.name} field=${one} at=${`${at}.${one.name}`} levels=${levels} value=${valueOf(requirement, one.name)} fault=${faultAt(faults, `${at}.${one.name}`)}
    onValue=${(/** @type {unknown} */ value) => kind && onChange(chosen(requirement, kind, one.name, value))} />`;
  const foreign = otherFaults(faults, index, ["id", ...fields.map(one => one.name)]);
  return html`<fieldset class="group" data-field=${at}><legend>${index + 1}. ${kind?.name || `Unknown kind: ${requirement.kind}`}</legend>
    <p class="says" id=${`says-${index}`}>${says || html`<span class="small">Not complete yet.</span>`}</p>
    ${foreign.map(fault => html`<p class="fault" key=${fault.field}>${fault.field.slice(at.length + 1).replaceAll("_", " ") || "This requirement"}: ${fault.message}
      ${kind && valueOf(requirement, fault.field.slice(at.length + 1)) !== undefined && html` <button type="button" class="quiet small-act" onClick=${() => onChange(withField(requirement, fault.field.slice(at.length + 1), undefined))}>Leave it out</button>`}</p>`)}
    <div class="requirement-fields">${about.map(field)}
      <${TextField} label="Id" name=${`${at}.id`} hint="Words joined by hyphens. Standings show it as words." maxlength=${60} value=${requirement.id} fault=${faultAt(faults, `${at}.id`)} onValue=${(/** @type {string} */ id) => onChange({ ...requirement, id })} /></div>
    ${filters.length > 0 && html`<details class="which-cases"><summary>Which cases: ${kind && casesWords(kind, requirement)}</summary><div class="requirement-fields">${filters.map(field)}</div></details>`}
    ${children}
  </fieldset>`;
}
