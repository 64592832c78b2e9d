// The whole conduction result in words: what is isolated, circuits, gaps, islands, what lies near, before and after, economy; each thing
// that has a place leads to the map. The caution goes with it.
import { html } from "../lib/html.js";
import { counted, plain } from "../lib/numbers.js";
import { capital, word } from "../lib/words.js";
import { economyWords, nearest } from "../model/circuit-words.js";
import { outcomes } from "../model/conduction.js";
import { BeforeAfter } from "./before-after.js";
import { Caution } from "./caution.js";
import { CircuitList, GapList, ResultFacts } from "./conduction-words.js";

/** @typedef {import("./conduction-words.js").Light} Light */

/**
 * @param {{atrium: import("../model/atrium.js").Atrium, set: {lesions: Api.Lesion[]}, result: Api.Result, stale?: boolean} & Light} props
 * set: the lesion-set file the result is of
 */
export function ConductionPanel({ atrium, set, result, stale, lit, onPick }) {
  const names = atrium.namesOf(set.lesions);
  return html`<section class=${stale ? "conduction stale" : "conduction"} aria-label="Conduction">
    <${ResultFacts} result=${result} />
    <${CircuitList} result=${result} lit=${lit} onPick=${onPick} />
    <${GapList} result=${result} names=${names} lit=${lit} onPick=${onPick} />
    <${IslandList} result=${result} />
    <${NearList} atrium=${atrium} result=${result} names=${names} lit=${lit} onPick=${onPick} />
    <${BeforeAfter} set=${set} result=${result} />
    <h3>Economy</h3><p class="small">${economyWords(result.economy)}</p>
    <${Caution} text=${result.caution} />
  </section>`;
}

/** @param {{result: Api.Result}} props */
function IslandList({ result }) {
  const islands = outcomes(result).flatMap(({ outcome }) => outcome.islands);
  if (islands.length === 0) return null;
  return html`<h3>No longer connected to the sinus node</h3><ul class="islands">${islands.map(island => html`<li>${capital(word(island.name))}: ${plain(island.area_cm2)} cm², ${island.wanted ? "as wanted" : html`<strong>not asked for</strong>`}</li>`)}</ul>`;
}

/** What the lesions pass, nearest first. Choosing one draws it on the map. @param {{atrium: import("../model/atrium.js").Atrium, result: Api.Result, names: string[]} & Light} props */
function NearList({ atrium, result, names, lit, onPick }) {
  const list = nearest(result.hazards);
  if (list.length === 0) return null;
  const crossed = list.filter(one => one.distance_mm === 0).length;
  const nearestWords = crossed > 0 ? `lines run over ${crossed} of them` : `the nearest is the ${atrium.structureName(list[0].structure)}, ${plain(list[0].distance_mm)} mm`;
  return html`<details class="near"><summary>Distance to ${counted(list.length, "structure")} at risk: ${nearestWords}</summary>
    <ul class="circuits">${list.map(hazard => {
      const key = `structure:${hazard.structure}`, name = names[hazard.lesion] || "A line";
      const source = atrium.facts.neighbours?.find(one => one.id === hazard.structure)?.source;
      return html`<li><button type="button" class="row-button" aria-pressed=${lit.has(key)} onClick=${() => onPick(key)}>
        <span>${capital(atrium.structureName(hazard.structure))}<small>${hazard.distance_mm === 0 ? `${name} runs over it` : `nearest: ${name}`}${lit.has(key) && source ? html`<br />On the map, ${source}` : ""}</small></span><span class="amount">${plain(hazard.distance_mm)} mm</span></button></li>`;
    })}</ul>
    <p class="small">Distances along the surface, not verdicts: how near is too near the scope policy says.</p>
  </details>`;
}
