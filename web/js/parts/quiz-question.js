// One question with its ways to answer: one option, several, a number, or an order put right with buttons. All by keyboard.
import { useId, useLayoutEffect, useRef, useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { html } from "../lib/html.js";
import { counted } from "../lib/numbers.js";
import { moved, numberIn } from "../model/quiz.js";
import { Ladder } from "./choices.js";
import { Field } from "./field.js";
import { MapAsked, MapTold } from "./quiz-map.js";

/** @typedef {{question: Api.QuizQuestion, given: Api.QuizGiven, onGiven: (given: Api.QuizGiven) => void}} AskProps */

/** @param {AskProps} props */
export function Ask(props) {
  switch (props.question.kind) {
    case "single-best": return html`<${Ladder} legend=${props.question.stem} name="choice" value=${props.given.chosen?.[0] || ""}
      options=${(props.question.choices || []).map(({ label, text }) => ({ id: label, name: text }))} onValue=${(/** @type {string} */ label) => props.onGiven({ chosen: [label] })} />`;
    case "several": return html`<${Several} ...${props} />`;
    case "ordering": return html`<${Order} ...${props} />`;
    case "map": return html`<p class="stem strong">${props.question.stem}</p>
      ${props.question.map && html`<${MapAsked} task=${props.question.map} path=${props.given.path || []} onPath=${(/** @type {Api.Vec[]} */ path) => props.onGiven(path.length > 0 ? { path } : {})} />`}`;
    default: return html`<${NumberAsked} ...${props} />`;
  }
}

/** @param {AskProps} props */
function Several({ question, given, onGiven }) {
  const chosen = given.chosen || [], most = question.choose || 1, hint = useId();
  const toggle = (/** @type {string} */ label) => onGiven({ chosen: chosen.includes(label) ? chosen.filter(one => one !== label) : [...chosen, label] });
  return html`<fieldset class="field" aria-describedby=${hint}>
    <legend>${question.stem}</legend>
    <p class="hint" id=${hint}>Choose ${most}. ${chosen.length} chosen.</p>
    <div class="ladder">${(question.choices || []).map(({ label, text }) => html`<label class="rung">
      <input type="checkbox" checked=${chosen.includes(label)} disabled=${!chosen.includes(label) && chosen.length >= most} onChange=${() => toggle(label)} /><span>${text}</span></label>`)}</div>
  </fieldset>`;
}

/** @param {AskProps} props */
function NumberAsked({ question, given, onGiven }) {
  const [text, setText] = useState(given.number === undefined ? "" : String(given.number));
  const typed = (/** @type {string} */ now) => {
    setText(now);
    const number = numberIn(now);
    onGiven(number === undefined ? {} : { number });
  };
  const fault = text.trim() !== "" && numberIn(text) === undefined ? "This is no number." : undefined;
  return html`<p class="stem strong">${question.stem}</p>
    <${Field} label=${question.unit ? `Your answer, in ${question.unit}` : "Your answer"} fault=${fault} control=${(/** @type {Record<string, unknown>} */ attributes) => html`
      <input ...${attributes} class="short" type="text" inputmode="decimal" autocomplete="off" value=${text} onInput=${(/** @type {any} */ event) => typed(event.target.value)} />`} />`;
}

/** @param {AskProps} props */
function Order({ question, given, onGiven }) {
  const choices = question.choices || [], given_ = given.chosen || [];
  const order = given_.length > 0 ? given_ : choices.map(one => one.label);
  const textOf = (/** @type {string} */ label) => choices.find(one => one.label === label)?.text || "";
  const list = useRef(/** @type {HTMLElement | null} */ (null)), focus = useRef("");
  useLayoutEffect(() => { // the button that was pressed moves with its line; its focus must not get lost
    if (focus.current) /** @type {HTMLElement | null} */ (list.current?.querySelector(focus.current))?.focus();
    focus.current = "";
  });
  const move = (/** @type {string} */ label, /** @type {number} */ by) => {
    const next = moved(order, label, by);
    if (next === order) return announce(`${textOf(label)} is ${by < 0 ? "first" : "last"} already.`);
    focus.current = `[data-choice="${label}"] .${by < 0 ? "up" : "down"}`;
    onGiven({ chosen: next });
    return announce(`${textOf(label)}, now ${next.indexOf(label) + 1} of ${next.length}.`);
  };
  return html`<fieldset class="field" ref=${list}>
    <legend>${question.stem}</legend>
    <p class="hint">Move a line with its arrows. ${given_.length > 0 ? "" : "Not answered yet."}</p>
    <ol class="steps">${order.map((label, i) => html`<li key=${label} data-choice=${label}><span class="step-number" aria-hidden="true">${i + 1}</span><span class="step-name">${textOf(label)}</span>
      <span class="stepper">
        <button type="button" class="up" aria-label=${`Earlier: ${textOf(label)}`} aria-disabled=${i === 0} onClick=${() => move(label, -1)}>↑</button>
        <button type="button" class="down" aria-label=${`Later: ${textOf(label)}`} aria-disabled=${i === order.length - 1} onClick=${() => move(label, 1)}>↓</button>
      </span></li>`)}</ol>
    ${given_.length === 0 && html`<button type="button" class="quiet" onClick=${() => onGiven({ chosen: order })}>This order is right as it stands</button>`}
  </fieldset>`;
}

/** A question that is marked: what was answered, what is right, why, and from where. @param {{place: Api.QuizPlace}} props */
export function Told({ place }) {
  const { question, given, told, replied } = place;
  if (!told) return null;
  const chosen = given.chosen || [], textOf = (/** @type {string} */ label) => (question.choices || []).find(one => one.label === label)?.text || "";
  const unit = question.unit ? ` ${question.unit}` : "";
  const part = told.points > 0 && told.points < 1 ? `Partly right: ${told.points.toFixed(2)} of 1 point.` : "";
  return html`<p class="stem strong">${question.stem}</p>
    <p class=${told.right ? "verdict right" : "verdict wrong"}>${told.right ? "Right." : part || (replied ? "Not right." : "Not answered.")}</p>
    ${question.kind === "ordering" ? html`
      ${replied && html`<p>Your order: ${chosen.map(textOf).join("; ")}.</p>`}<p>The right order: ${told.key.map(textOf).join("; ")}.</p>`
    : question.kind === "map" && question.map ? html`<${MapTold} task=${question.map} path=${given.path || []} right=${told.path || []} />`
    : question.kind === "numeric" ? html`
      <p>${replied ? `Your answer: ${given.number}${unit}. ` : ""}Right: ${told.number}${unit}${told.tolerance ? `, give or take ${told.tolerance}` : ""}.</p>`
    : html`<ul class="marked">${(question.choices || []).map(({ label, text }) => html`<li class=${told.key.includes(label) ? "is-key" : undefined}><span>${text}</span>
        ${told.key.includes(label) && html` <strong>Right${chosen.includes(label) ? ", and chosen" : ""}.</strong>`}${chosen.includes(label) && !told.key.includes(label) && html` <strong>Your answer.</strong>`}</li>`)}</ul>`}
    ${told.says.map(says => html`<p>${says}</p>`)}
    <p>${told.rationale}</p>
    <p class="small">Source: ${told.source}</p>`;
}

/** @param {number} done @param {number} all */
export const progress = (done, all) => `${done} of ${counted(all, "question")} answered`;
