// Putting the steps of an operation in order: with buttons, or with Alt and the arrow keys. Nothing needs to be pulled.
import { useLayoutEffect, useRef } from "preact/hooks";
import { addStep, moveStep, removeStep } from "../acts/answers.js";
import { announce } from "../lib/announce.js";
import { html } from "../lib/html.js";
import { named } from "../lib/words.js";

/** @param {{steps: Api.Named[], order: string[], onAct: (act: any) => void, faults: Map<string, string>}} props order: the ids of the steps taken, first to last */
export function StepOrder({ steps, order, onAct, faults }) {
  const list = useRef(/** @type {HTMLElement | null} */ (null));
  const focus = useRef("");
  useLayoutEffect(() => { // the button that was pressed moves with its step; its focus must not get lost
    if (focus.current) /** @type {HTMLElement | null} */ (list.current?.querySelector(focus.current))?.focus();
    focus.current = "";
  });
  const left = steps.filter(step => !order.includes(step.id));
  const move = (/** @type {string} */ id, /** @type {number} */ by, /** @type {string} */ button) => {
    const from = order.indexOf(id), to = from + by, name = named(steps, id);
    if (to < 0 || to >= order.length) return announce(`${name} is ${by < 0 ? "first" : "last"} already.`);
    focus.current = `[data-step="${id}"] .${button}`;
    onAct(moveStep(id, to, name));
    return announce(`${name}, now ${to + 1} of ${order.length}.`);
  };
  const take = (/** @type {Api.Named} */ { id, name }) => { onAct(addStep(id, name)); focus.current = `[data-step="${id}"] .up`; announce(`${name}, now ${order.length + 1} of ${order.length + 1}.`); };
  const leave = (/** @type {string} */ id) => {
    onAct(removeStep(id, named(steps, id)));
    focus.current = `[data-take="${id}"]`;
    announce(`${named(steps, id)} left out. ${order.length - 1} steps in order.`);
  };
  const fault = [...faults].find(([field]) => field === "steps" || field.startsWith("steps["))?.[1];
  const onKey = (/** @type {string} */ id) => (/** @type {KeyboardEvent} */ event) => {
    if (!event.altKey || (event.key !== "ArrowUp" && event.key !== "ArrowDown")) return;
    event.preventDefault();
    const up = event.key === "ArrowUp";
    move(id, up ? -1 : 1, up ? "up" : "down");
  };
  return html`<fieldset class="field step-order" data-field="steps" ref=${list}>
    <legend>Order of the steps</legend>
    <p class="hint">Take the steps this operation needs, first to last. A step can be moved with its arrows, or with Alt and the arrow keys.</p>
    ${order.length === 0 ? html`<p class="small">No step taken yet.</p>` : html`<ol class="steps">${order.map((id, i) => {
      const name = named(steps, id);
      return html`<li key=${id} data-step=${id} onKeyDown=${onKey(id)}><span class="step-number" aria-hidden="true">${i + 1}</span><span class="step-name">${name}</span>
        <span class="stepper">
          <button type="button" class="up" aria-label=${`Earlier: ${name}`} aria-disabled=${i === 0} onClick=${() => move(id, -1, "up")}>↑</button>
          <button type="button" class="down" aria-label=${`Later: ${name}`} aria-disabled=${i === order.length - 1} onClick=${() => move(id, 1, "down")}>↓</button>
          <button type="button" class="out" aria-label=${`Leave out: ${name}`} onClick=${() => leave(id)}>×</button>
        </span></li>`;
    })}</ol>`}
    ${left.length > 0 && html`<p class="small" id="steps-left">Not taken:</p>
      <ul class="steps-left" aria-labelledby="steps-left">${left.map(step => html`<li key=${step.id}><button type="button" class="quiet small-act" data-take=${step.id} aria-label=${`Take: ${step.name}`}
        onClick=${() => take(step)}>${step.name}</button></li>`)}</ul>`}
    ${fault && html`<p class="fault">${fault}</p>`}
  </fieldset>`;
}
