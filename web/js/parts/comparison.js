// A graded plan beside an expert's: two maps, the differences in words, why the expert plans it so. Choosing a difference lights it on both.
import { useState } from "preact/hooks";
import { withQuery } from "../lib/api.js";
import { html } from "../lib/html.js";
import { plain } from "../lib/numbers.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { bothGrades, differenceAt, grouped, inShort, litOn, markOn } from "../model/comparison.js";
import { policyPath } from "../model/policy.js";
import { AtrialMap } from "./atrial-map.js";
import { Caution } from "./caution.js";
import { Segments } from "./choices.js";
import { DecisionWords } from "./decision-words.js";
import { Differences } from "./differences.js";
import { LesionTable } from "./lesion-table.js";
import { MapKey } from "./map-key.js";
import { useAtrium } from "./use-atrium.js";
import { Show } from "./waiting.js";

/** @typedef {import("../model/atrium.js").Atrium} Atrium */
/** @typedef {import("../model/comparison.js").Side} Side */

/** @param {{own: Api.PlanDetail, whose: string}} props */
export function Comparison({ own, whose }) {
  const [number, setNumber] = useState("0");
  const comparison = useResource(at(withQuery(`/plans/${encodeURIComponent(own.id)}/comparison`, { expert: number === "0" ? undefined : number })));
  const read = /** @type {Api.Comparison | undefined} */ (comparison.data);
  const atrium = useAtrium(read?.left_atrium_mm, read?.right_atrium_mm);
  return html`<${Show} of=${comparison} what="the comparison">${(/** @type {Api.Comparison} */ shown) => html`
    ${shown.experts > 1 && html`<div class="which"><${Segments} label="Expert plan" value=${number} onValue=${setNumber}
      options=${Array.from({ length: shown.experts }, (_, i) => ({ id: String(i), name: String(i + 1) }))} /></div>`}
    <p class="overall">${bothGrades(shown, whose)}</p>
    <p>${inShort(shown.differences)}</p>
    <${Show} of=${atrium} what="the maps">${(/** @type {Atrium} */ shape) => html`
      <${Beside} key=${shown.expert.number} shown=${shown} own=${own} atrium=${shape} whose=${whose} />`}<//>`}<//>`;
}

/** @param {{shown: Api.Comparison, own: Api.PlanDetail, atrium: Atrium, whose: string}} props */
function Beside({ shown, own, atrium, whose }) {
  const [chosen, setChosen] = useState(/** @type {number | null} */ (null));
  const [side, setSide] = useState(/** @type {Side} */ ("yours")); // which map a phone shows
  const { expert, differences } = shown;
  const difference = chosen === null ? undefined : differences[chosen];
  const choose = (/** @type {number | null} */ index) => {
    setChosen(index);
    if (index !== null) requestAnimationFrame(bringMark);
  };
  const pick = (/** @type {Side} */ on) => (/** @type {string} */ key) => {
    const index = key === "difference" ? chosen : differenceAt(differences, on, key);
    setChosen(index === -1 ? null : index);
    if (index !== null && index >= 0) document.getElementById(`difference-${index}`)?.scrollIntoView({ block: "nearest" });
  };
  const map = (/** @type {Side} */ on, /** @type {string} */ title, /** @type {Api.Plan} */ plan, /** @type {Api.Grade} */ grade) => html`
    <section class=${on === side ? "one-map shown" : "one-map"} aria-label=${title}>
      <h3>${title}: ${grade.letter}, ${plain(grade.score, 2)} of 100</h3>
      <${AtrialMap} atrium=${atrium} lesions=${plan.lesions} appendage=${plan.left_appendage.state} result=${grade.result}
        marks=${markOn(difference, chosen ?? 0, on)} lit=${litOn(difference, on)} onPick=${pick(on)} />
    </section>`;
  return html`
    <div class="map-switch"><${Segments} label="Map" value=${side} onValue=${(/** @type {string} */ to) => setSide(to === "theirs" ? "theirs" : "yours")}
      options=${[{ id: "yours", name: whose }, { id: "theirs", name: "Expert's plan" }]} /></div>
    <div class="two-maps" id="two-maps">
      ${map("yours", whose, own.plan, own.grade)}
      ${map("theirs", "Expert's plan", expert.plan, expert.grade)}
    </div>
    <figure class="key-alone"><${MapKey} atrium=${atrium} withResult=${true} /></figure>
    <${Caution} text=${shown.caution} />
    <h3>Why the expert plans it so</h3>
    <p><span class="strong">${expert.title}.</span> ${expert.why}</p>
    ${differences.length === 0 ? null : html`<${Differences} groups=${grouped(differences)} whose=${whose} chosen=${chosen} onChoose=${choose} />`}
    <details class="as-table">
      <summary>The expert plan in words</summary>
      <${LesionTable} atrium=${atrium} lesions=${expert.plan.lesions} appendage=${expert.plan.left_appendage} result=${expert.grade.result} />
      <${DecisionWords} atrium=${atrium} plan=${expert.plan} />
      <p class="small">Graded by <a href=${policyPath(expert.grade)}>policy ${expert.grade.policy}, version ${expert.grade.policy_version}</a>, for the version of the scenario that was answered.</p>
    </details>`;
}

/** Brings the lit mark into sight where it is not: on a phone the map and the list do not fit above each other. */
function bringMark() {
  const mark = [...document.querySelectorAll(".two-maps .mark.lit")].find(one => one.checkVisibility());
  const box = mark?.getBoundingClientRect();
  if (box && (box.top < 0 || box.bottom > innerHeight)) mark?.scrollIntoView({ block: "center" });
}
