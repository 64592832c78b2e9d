// A question on the map being written: how it is marked, what lies there already, and the drawings that are right and wrong.
import { useState } from "preact/hooks";
import { html } from "../lib/html.js";
import { Word } from "../lib/words.js";
import { CheckField, LongField, NumberField, SelectField } from "./field.js";
import { MapAsked } from "./quiz-map.js";
import { Tabs } from "./tabs.js";
import { useAtrium } from "./use-atrium.js";

/** @typedef {NonNullable<Api.QuestionTask["effect"]>} Effect */

/** The most wrong drawings a question foresees. */
const most = 10;

const chambers = [{ id: "left-atrium", name: "Left atrium" }, { id: "right-atrium", name: "Right atrium" }];
const draws = [{ id: "point", name: "A place" }, { id: "line", name: "A line" }, { id: "ring", name: "A ring" }];
const ways = [{ id: "near", name: "By distance from the drawing that is right" }, { id: "effect", name: "By what it does in the conduction model" }];
const isolatable = ["left-superior", "left-inferior", "right-superior", "right-inferior", "posterior-wall"];

/** @param {import("./question-answer.js").PartProps} props */
export function MapPart({ item, act, fault }) {
  const map = /** @type {Api.QuestionTask} */ (item.map);
  const change = (/** @type {Partial<Api.QuestionTask>} */ what) => act({ map: { ...map, ...what } });
  const by = map.effect ? "effect" : "near";
  return html`<fieldset class="checks task" data-field="map"><legend>On the map</legend>
    ${fault("map") && html`<p class="fault">${fault("map")}</p>`}
    <${SelectField} label="Chamber" name="map.chamber" value=${map.chamber} options=${chambers} onValue=${(/** @type {Api.Chamber} */ chamber) => change({ chamber, key: [], misses: undefined, ...(map.effect ? { effect: {} } : {}), shown: { ...map.shown, lesions: [] } })} />
    <${SelectField} label="What is drawn" name="map.draw" value=${map.draw} options=${draws}
      onValue=${(/** @type {Api.QuizDraw} */ draw) => change({ draw, key: [], misses: undefined, ...(draw === "point" ? { near: map.near || { within_mm: 8 }, effect: undefined } : draw === "ring" ? { effect: map.effect || {}, near: undefined } : {}) })} />
    ${map.draw === "line" && html`<${SelectField} label="How it is marked" name="map.by" value=${by} options=${ways}
      onValue=${(/** @type {string} */ way) => change(way === "near" ? { near: { within_mm: 8 }, effect: undefined } : { effect: {}, near: undefined })} />`}
    ${map.near && html`<${NumberField} label="Distance that still counts" name="map.near.within_mm" unit="mm" min=${1} max=${40} value=${map.near.within_mm} fault=${fault("map.near.within_mm")}
      onValue=${(/** @type {number} */ within) => change({ near: { within_mm: within } })} />`}
    ${map.effect && html`<${EffectPart} map=${map} effect=${map.effect} fault=${fault} onEffect=${(/** @type {Effect} */ effect) => change({ effect })} />`}
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

/** What the drawing must do in the conduction model. @param {{map: Api.QuestionTask, effect: Effect, fault: (field: string) => string | undefined, onEffect: (effect: Effect) => void}} props */
function EffectPart({ map, effect, fault, onEffect }) {
  const facts = useAtrium().data?.facts, shape = facts?.chambers.find(one => one.chamber === map.chamber);
  const isolates = effect.isolates || [], clear = effect.clear || [];
  const structures = [...(shape?.sites || []).map(one => ({ id: one.site, name: one.name })), ...(facts?.neighbours || []).filter(one => one.chamber === map.chamber)];
  const keepClear = (/** @type {typeof clear} */ list) => onEffect({ ...effect, clear: list.length > 0 ? list : undefined });
  return html`<fieldset class="checks task" data-field="map.effect"><legend>What it must do</legend>
    <p class="hint">Any drawing that does all of it is right. It must also leave the sinus node in touch with the AV node.</p>
    ${fault("map.effect") && html`<p class="fault">${fault("map.effect")}</p>`}
    ${map.chamber === "left-atrium" && html`<fieldset class="checks"><legend>Isolate</legend><div class="pairs">${isolatable.map(id => html`<${CheckField} key=${id} label=${id === "posterior-wall" ? "Posterior wall" : `${Word(id)} vein`} value=${isolates.includes(id)}
      onValue=${(/** @type {boolean} */ on) => onEffect({ ...effect, isolates: on ? [...isolates, id] : isolates.filter(one => one !== id) })} />`)}</div></fieldset>`}
    <${Circuits} says="Close the circuit round" shape=${shape} list=${effect.closes || []} field="map.effect.closes" fault=${fault} onList=${(/** @type {string[][] | undefined} */ closes) => onEffect({ ...effect, closes })} />
    <${Circuits} says="Leave the circuit round" shape=${shape} list=${effect.leaves || []} field="map.effect.leaves" fault=${fault} onList=${(/** @type {string[][] | undefined} */ leaves) => onEffect({ ...effect, leaves })} />
    ${clear.map((one, i) => html`<div class="clear-of" key=${i} role="group" aria-label=${`Distance to keep ${i + 1}`}>
      <${SelectField} label="Stay clear of" name=${`map.effect.clear[${i}].structure`} value=${one.structure} options=${structures} fault=${fault(`map.effect.clear[${i}].structure`)} onValue=${(/** @type {string} */ structure) => keepClear(clear.map((c, at) => (at === i ? { ...c, structure } : c)))} />
      <${NumberField} label="By at least" unit="mm" min=${1} max=${40} name=${`map.effect.clear[${i}].least_mm`} value=${one.least_mm} fault=${fault(`map.effect.clear[${i}].least_mm`)} onValue=${(/** @type {number} */ mm) => keepClear(clear.map((c, at) => (at === i ? { ...c, least_mm: mm } : c)))} />
      <button type="button" class="quiet" aria-label=${`Delete distance to keep ${i + 1}`} onClick=${() => keepClear(clear.filter((_, at) => at !== i))}>Delete</button></div>`)}
    ${structures.length > clear.length && html`<button type="button" class="quiet" onClick=${() => keepClear([...clear, { structure: structures.find(one => !clear.some(c => c.structure === one.id))?.id || structures[0].id, least_mm: 5 }])}>Add a distance to keep</button>`}
    <${NumberField} label="Greatest length; 0 for any" name="map.effect.most_mm" unit="mm" max=${500} value=${effect.most_mm || 0} fault=${fault("map.effect.most_mm")} onValue=${(/** @type {number} */ mm) => onEffect({ ...effect, most_mm: mm || undefined })} />
  </fieldset>`;
}

/** Circuits, each named by all it goes round. @param {{says: string, shape?: Api.ChamberShape, list: string[][], field: string, fault: (field: string) => string | undefined, onList: (list: string[][] | undefined) => void}} props */
function Circuits({ says, shape, list, field, fault, onList }) {
  const set = (/** @type {string[][]} */ next) => onList(next.length > 0 ? next : undefined);
  const many = list.length > 1, name = (/** @type {number} */ i) => (many ? `${says}, ${i + 1}` : says);
  return html`${list.map((round, i) => html`<fieldset class="checks" key=${i} data-field=${`${field}[${i}]`}><legend>${name(i)}</legend>
      ${fault(`${field}[${i}]`) && html`<p class="fault">${fault(`${field}[${i}]`)}</p>`}
      <div class="pairs">${(shape?.openings || []).map(one => html`<${CheckField} key=${one.obstacle} label=${Word(one.name)} value=${round.includes(one.obstacle)}
        onValue=${(/** @type {boolean} */ on) => set(list.map((old, at) => (at !== i ? old : on ? [...old, one.obstacle] : old.filter(had => had !== one.obstacle))))} />`)}</div>
      <button type="button" class="quiet" aria-label=${`Delete: ${name(i).toLowerCase()}`} onClick=${() => set(list.filter((_, at) => at !== i))}>Delete</button></fieldset>`)}
    ${list.length < 4 && html`<p><button type="button" class="quiet" onClick=${() => set([...list, []])}>${list.length > 0 ? `${says} another` : `${says} …`}</button></p>`}`;
}

/** The lesions that lie on the map already. @param {{map: Api.QuestionTask, onShown: (lesions: Api.Lesion[]) => void}} props */
function Shown({ map, onShown }) {
  const catalogue = (useAtrium().data?.facts.lesions || []).filter(one => one.chamber === map.chamber), { lesions } = map.shown;
  if (catalogue.length === 0) return null;
  return html`<details open=${lesions.length > 0}><summary>Lesions that are there already (${lesions.length})</summary>${catalogue.map(one => html`<${CheckField} key=${one.id} label=${one.name} value=${lesions.some(there => there.lesion === one.id)}
    onValue=${(/** @type {boolean} */ on) => onShown(on ? [...lesions, { lesion: one.id }] : lesions.filter(there => there.lesion !== one.id))} />`)}</details>`;
}
