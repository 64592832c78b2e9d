// The answer of a question being written: its options or its number.
import { useLayoutEffect, useRef } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { html } from "../lib/html.js";
import { movedBy, withOption, withOptions, withRight } from "../model/question-draft.js";
import { CheckField, LongField, NumberField, TextField } from "./field.js";

/** @typedef {{item: Api.QuestionText, act: (change: Partial<Api.QuestionText>) => void, replace: (item: Api.QuestionText) => void, fault: (field: string) => string | undefined}} PartProps */

/** The most options a question may have. */
const most = 10;

/** @param {PartProps} props */
export function OptionsPart({ item, replace, fault }) {
  const options = item.options || [], key = item.key || [], order = item.kind === "ordering";
  const change = (/** @type {number} */ i, /** @type {Partial<Api.QuestionOption>} */ what) => replace(withOptions(item, options.map((one, at) => (at === i ? { ...one, ...what } : one))));
  const box = useRef(/** @type {HTMLElement | null} */ (null)), focus = useRef("");
  useLayoutEffect(() => { // what was pressed moves or goes: the focus must not get lost
    if (focus.current) /** @type {HTMLElement | null} */ (box.current?.querySelector(focus.current))?.focus();
    focus.current = "";
  });
  const of = (/** @type {Api.QuestionOption | undefined} */ one, /** @type {string} */ what) => (one ? `[data-option="${one.id}"] ${what}` : ".add");
  const move = (/** @type {number} */ i, /** @type {number} */ by) => {
    const next = movedBy(options, i, by);
    if (next === options) return announce(`Option ${i + 1} is ${by < 0 ? "first" : "last"} already.`);
    focus.current = of(options[i], by < 0 ? ".up" : ".down");
    replace(withOptions(item, next));
    return announce(`Now option ${i + by + 1} of ${options.length}.`);
  };
  const drop = (/** @type {number} */ i) => {
    focus.current = of(options[i + 1] || options[i - 1], "input");
    replace(withOptions(item, options.filter((_, at) => at !== i)));
    announce(`Option ${i + 1} deleted.`);
  };
  const add = () => {
    const next = withOption(options);
    focus.current = of(next[next.length - 1], "input");
    replace(withOptions(item, next));
  };
  return html`<fieldset class="checks" data-field="options" ref=${box}><legend>${order ? "What is put in order, as it should stand" : "Options"}</legend>
    ${fault("options") && html`<p class="fault">${fault("options")}</p>`}
    ${fault("key") && options.some(one => one.text) && html`<p class="fault" data-field="key">${fault("key")}</p>`}
    ${options.map((one, i) => html`<div class="item" key=${one.id} data-option=${one.id} role="group" aria-label=${`Option ${i + 1}`}>
      <${TextField} label=${`Option ${i + 1}`} name=${`options[${i}].text`} maxlength=${500} value=${one.text} fault=${one.text ? fault(`options[${i}].text`) : undefined} onValue=${(/** @type {string} */ text) => change(i, { text })} />
      <${LongField} label=${order ? "Why it stands there" : "What is said to whoever chooses it"} name=${`options[${i}].feedback`} rows=${2} maxlength=${1000} value=${one.feedback}
        fault=${one.feedback ? fault(`options[${i}].feedback`) : undefined} onValue=${(/** @type {string} */ feedback) => change(i, { feedback })} />
      <div class="option-acts">
        ${!order && html`<${CheckField} label=${`Option ${i + 1} is right`} value=${key.includes(one.id)} onValue=${(/** @type {boolean} */ right) => replace(withRight(item, one.id, right))} />`}
        <button type="button" class="quiet up" aria-label=${`Option ${i + 1} earlier`} aria-disabled=${i === 0} onClick=${() => move(i, -1)}>↑</button>
        <button type="button" class="quiet down" aria-label=${`Option ${i + 1} later`} aria-disabled=${i === options.length - 1} onClick=${() => move(i, 1)}>↓</button>
        <button type="button" class="quiet" aria-label=${`Delete option ${i + 1}`} onClick=${() => drop(i)}>Delete</button>
      </div></div>`)}
    <button type="button" class="quiet add" disabled=${options.length >= most} onClick=${add}>Add an option</button>
  </fieldset>`;
}

/** @param {PartProps} props */
export function NumberPart({ item, act, fault }) {
  const number = item.number || { value: 0, tolerance: 0, unit: "" }, misses = number.misses || [];
  const change = (/** @type {Partial<Api.QuestionNumber>} */ what) => act({ number: { ...number, ...what } });
  const miss = (/** @type {number} */ i, /** @type {Partial<{value: number, feedback: string}>} */ what) => change({ misses: misses.map((one, at) => (at === i ? { ...one, ...what } : one)) });
  return html`<fieldset class="checks"><legend>The number</legend>
    <${NumberField} label="Right number" name="number.value" min=${-1e9} step=${"any"} value=${number.value} fault=${fault("number.value")} onValue=${(/** @type {number} */ value) => change({ value })} />
    <${NumberField} label="Tolerance on either side" name="number.tolerance" step=${"any"} value=${number.tolerance} fault=${fault("number.tolerance")} onValue=${(/** @type {number} */ tolerance) => change({ tolerance })} />
    <${TextField} label="Unit" name="number.unit" maxlength=${20} value=${number.unit} fault=${number.unit ? fault("number.unit") : undefined} onValue=${(/** @type {string} */ unit) => change({ unit })} />
    ${misses.map((one, i) => html`<div class="item" role="group" aria-label=${`Wrong number ${i + 1}`}>
      <${NumberField} label=${`Wrong number ${i + 1}`} name=${`number.misses[${i}].value`} min=${-1e9} step=${"any"} value=${one.value} fault=${fault(`number.misses[${i}].value`)} onValue=${(/** @type {number} */ value) => miss(i, { value })} />
      <${LongField} label="What is said to it" name=${`number.misses[${i}].feedback`} rows=${2} maxlength=${1000} value=${one.feedback} onValue=${(/** @type {string} */ feedback) => miss(i, { feedback })} />
      <button type="button" class="quiet" onClick=${() => change({ misses: misses.filter((_, at) => at !== i) })}>${`Delete wrong number ${i + 1}`}</button></div>`)}
    <button type="button" class="quiet" disabled=${misses.length >= most} onClick=${() => change({ misses: [...misses, { value: 0, feedback: "" }] })}>Add a wrong number with what is said to it</button>
  </fieldset>`;
}
