// The answer of a question being written: its options, its number, or its drawing.
import { useLayoutEffect, useRef, useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { html } from "../lib/html.js";
import { listed, word } from "../lib/words.js";
import { movedBy, withOption, withOptions, withRight } from "../model/question-draft.js";
import { CheckField, LongField, NumberField, SelectField, TextField } from "./field.js";
import { MapAsked } from "./quiz-map.js";
import { Tabs } from "./tabs.js";
import { useAtrium } from "./use-atrium.js";

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

const chambers = [{ id: "left-atrium", name: "Left atrium" }, { id: "right-atrium", name: "Right atrium" }];
const draws = [{ id: "point", name: "A place" }, { id: "line", name: "A line" }, { id: "ring", name: "A ring" }];
const ways = [{ id: "near", name: "By distance from the drawing that is right" }, { id: "effect", name: "By what it does in the conduction model" }];
const isolatable = ["left-superior", "left-inferior", "right-superior", "right-inferior", "posterior-wall"];

/** @param {PartProps} props */
export function MapPart({ item, act, fault }) {
  const map = /** @type {Api.QuestionTask} */ (item.map);
  const change = (/** @type {Partial<Api.QuestionTask>} */ what) => act({ map: { ...map, ...what } });
  const by = map.effect ? "effect" : "near";
  return html`<fieldset class="checks" data-field="map"><legend>On the map</legend>
    ${fault("map") && html`<p class="fault">${fault("map")}</p>`}
    <${SelectField} label="Chamber" name="map.chamber" value=${map.chamber} options=${chambers} onValue=${(/** @type {Api.Chamber} */ chamber) => change({ chamber, key: [], misses: undefined, shown: { ...map.shown, lesions: [] } })} />
    <${SelectField} label="What is drawn" name="map.draw" value=${map.draw} options=${draws}
      onValue=${(/** @type {Api.QuizDraw} */ draw) => change({ draw, key: [], misses: undefined, ...(draw === "point" ? { near: map.near || { within_mm: 8 }, effect: undefined } : draw === "ring" ? { effect: map.effect || {}, near: undefined } : {}) })} />
    ${map.draw === "line" && html`<${SelectField} label="How it is marked" name="map.by" value=${by} options=${ways}
      onValue=${(/** @type {string} */ way) => change(way === "near" ? { near: { within_mm: 8 }, effect: undefined } : { effect: {}, near: undefined })} />`}
    ${map.near && html`<${NumberField} label="Distance that still counts" name="map.near.within_mm" unit="mm" min=${1} max=${40} value=${map.near.within_mm} fault=${fault("map.near.within_mm")}
      onValue=${(/** @type {number} */ within) => change({ near: { within_mm: within } })} />`}
    ${map.effect && html`<${EffectPart} effect=${map.effect} fault=${fault} onEffect=${(/** @type {Api.QuestionTask["effect"]} */ effect) => change({ effect })} />`}
    <${Shown} map=${map} onShown=${(/** @type {Api.Lesion[]} */ lesions) => change({ shown: { ...map.shown, lesions } })} />
    <${Drawings} map=${map} fault=${fault} onChange=${change} />
  </fieldset>`;
}

/** The drawing that is right, and wrong ones with what is said to them: one map at a time. @param {{map: Api.QuestionTask, fault: (field: string) => string | undefined, onChange: (what: Partial<Api.QuestionTask>) => void}} props */
function Drawings({ map, fault, onChange }) {
  const [which, setWhich] = useState("right"), misses = map.misses || [];
  const i = Number(which), wrong = misses[i], here = wrong ? which : "right"; // a drawing that is gone is not shown
  const miss = (/** @type {Partial<{path: Api.Vec[], feedback: string}>} */ what) => onChange({ misses: misses.map((one, at) => (at === i ? { ...one, ...what } : one)) });
  const told = (/** @type {string} */ field) => fault(field) && html`<p class="fault" data-field=${field}>${fault(field)}</p>`;
  const tabs = [{ id: "right", name: "Right drawing" }, ...misses.map((_, at) => ({ id: String(at), name: `Wrong ${at + 1}` }))];
  return html`<${Tabs} label="Drawings" tabs=${tabs} value=${here} onValue=${setWhich}>
      ${!wrong && html`${told("map.key")}<${MapAsked} key=${`${map.chamber} ${map.draw}`} task=${map} path=${map.key} label="A drawing that is right" onPath=${(/** @type {Api.Vec[]} */ key) => onChange({ key })} />`}
      ${wrong && html`${told(`map.misses[${i}].path`)}
        <${LongField} label="What is said to it" name=${`map.misses[${i}].feedback`} rows=${2} maxlength=${1000} value=${wrong.feedback} fault=${wrong.feedback ? fault(`map.misses[${i}].feedback`) : undefined} onValue=${(/** @type {string} */ feedback) => miss({ feedback })} />
        <${MapAsked} key=${`${map.chamber} ${map.draw} ${i} of ${misses.length}`} task=${map} path=${wrong.path} label=${`Wrong drawing ${i + 1}`} onPath=${(/** @type {Api.Vec[]} */ path) => miss({ path })} />
        <div class="bar"><button type="button" class="quiet" onClick=${() => { onChange({ misses: misses.length > 1 ? misses.filter((_, at) => at !== i) : undefined }); setWhich("right"); }}>${`Delete wrong drawing ${i + 1}`}</button></div>`}
    <//>
    <button type="button" class="quiet" disabled=${misses.length >= most} onClick=${() => { onChange({ misses: [...misses, { path: [], feedback: "" }] }); setWhich(String(misses.length)); }}>Add a wrong drawing with what is said to it</button>`;
}

/** @param {{effect: NonNullable<Api.QuestionTask["effect"]>, fault: (field: string) => string | undefined, onEffect: (effect: Api.QuestionTask["effect"]) => void}} props */
function EffectPart({ effect, fault, onEffect }) {
  const isolates = effect.isolates || [];
  const circuits = (/** @type {string} */ says, /** @type {string[][] | undefined} */ list) => (list?.length ? html`<p class="small">${says} the circuit round ${list.map(one => listed(one.map(word))).join("; and round ")}: as it was.</p>` : null);
  return html`<fieldset class="checks"><legend>What it must isolate</legend>
    ${fault("map.effect") && html`<p class="fault" data-field="map.effect">${fault("map.effect")}</p>`}
    ${isolatable.map(id => html`<${CheckField} label=${id === "posterior-wall" ? "Posterior wall" : `${word(id)} vein`} value=${isolates.includes(id)}
      onValue=${(/** @type {boolean} */ on) => onEffect({ ...effect, isolates: on ? [...isolates, id] : isolates.filter(one => one !== id) })} />`)}
    ${circuits("It must close", effect.closes)}${circuits("It must leave", effect.leaves)}
    <${NumberField} label="Greatest length; 0 for any" name="map.effect.most_mm" unit="mm" max=${500} value=${effect.most_mm || 0} onValue=${(/** @type {number} */ mm) => onEffect({ ...effect, most_mm: mm || undefined })} />
  </fieldset>`;
}

/** The lesions that lie on the map already. @param {{map: Api.QuestionTask, onShown: (lesions: Api.Lesion[]) => void}} props */
function Shown({ map, onShown }) {
  const catalogue = (useAtrium().data?.facts.lesions || []).filter(one => one.chamber === map.chamber), { lesions } = map.shown;
  if (catalogue.length === 0) return null;
  return html`<details open=${lesions.length > 0}><summary>Lesions that are there already (${lesions.length})</summary>${catalogue.map(one => html`<${CheckField} key=${one.id} label=${one.name} value=${lesions.some(there => there.lesion === one.id)}
    onValue=${(/** @type {boolean} */ on) => onShown(on ? [...lesions, { lesion: one.id }] : lesions.filter(there => there.lesion !== one.id))} />`)}</details>`;
}
