// The two atria, seen from behind, as flat maps of true area: the left one on the left. The one picture that is drawn by hand.
import { useId } from "preact/hooks";
import { html } from "../lib/html.js";
import { labelLines } from "../model/atrium.js";
import { drawing } from "../model/chamber-map.js";
import { drawnUnasked, namedCircuits, outcomes } from "../model/conduction.js";
import { workOf } from "../model/recognised.js";
import { ActivationGround, ActivationLabels } from "./activation-layer.js";
import { DrawLayer } from "./draw-layer.js";
import { Hatch } from "./hatch.js";
import { Circuits, Gaps, IslandNames, Islands, Lesions, Structures, tagPlaces } from "./map-layers.js";
import { MapKey } from "./map-key.js";

/** @typedef {import("../model/chamber-map.js").ChamberMap} ChamberMap */
/** @typedef {{key: string, number: number, says: string, name?: string, chamber: Api.Chamber, at: Api.Vec}} Mark name: said instead of the finding's number and words */

/**
 * @param {{atrium: import("../model/atrium.js").Atrium, lesions: Api.Lesion[], appendage: string, result?: Api.Result, stale?: boolean,
 *   marks?: Mark[], lit?: Set<string>, onPick?: (key: string) => void, pen?: import("./use-drawing.js").Drawing,
 *   activation?: import("./use-activation.js").Activating, only?: Api.Chamber, unnamed?: boolean}} props pen: where lesions can be drawn; activation: shades the tissue by
 *   it while it is on; only: the one chamber to show; unnamed: without the names and nodes that a question asks for
 */
export function AtrialMap({ atrium, lesions, appendage, result, stale, marks = [], lit = new Set(), onPick, pen, activation, only, unnamed = false }) {
  const own = useId(); // two maps can stand on one page
  const intact = Boolean(activation?.before); // before the plan: nothing of it is shown
  const circuits = result ? namedCircuits(result) : [];
  const shown = new Set([...drawnUnasked(circuits), ...circuits.filter(one => lit.has(`circuit:${one.chamber}:${one.index}`))]);
  return html`<figure class=${["atrial-map", stale && "stale", intact && "intact"].filter(Boolean).join(" ")}>
    <div class=${only ? "chambers one" : "chambers"}>
      ${atrium.maps.filter(map => !only || map.shape.chamber === only).map(map => {
        const chamber = map.shape.chamber;
        const outcome = result && outcomes(result).find(one => one.chamber === chamber)?.outcome;
        const here = placed(atrium, lesions, stale ? undefined : result, chamber);
        const isochrones = activation?.shown?.of(chamber);
        const circuitsHere = [...shown].filter(one => one.chamber === chamber), tagsAt = tagPlaces(map, circuitsHere);
        const hatch = `${own}-${chamber}`;
        return html`<${Chamber} map=${map} appendage=${appendage} marks=${marks.filter(mark => mark.chamber === chamber)} lit=${lit} onPick=${onPick} pen=${pen} hatch=${hatch} unnamed=${unnamed}>
          ${isochrones && html`<${ActivationGround} map=${map} isochrones=${isochrones} activation=${activation} clip=${`${hatch}-rim`} />`}
          ${outcome && html`<${Islands} map=${map} islands=${outcome.islands} hatch=${hatch} />`}
          <${Openings} map=${map} appendage=${appendage} />
          <${Lesions} map=${map} lesions=${here} lit=${lit} onPick=${onPick} />
          ${result && html`<${Circuits} map=${map} circuits=${circuitsHere} tagsAt=${tagsAt} lit=${lit} onPick=${onPick} />`}
          ${!unnamed && html`<${Labels} map=${map} appendage=${appendage} />`}
          ${outcome && html`<${IslandNames} map=${map} islands=${outcome.islands} />`}
          ${outcome && html`<${Gaps} map=${map} gaps=${outcome.gaps} lit=${lit} onPick=${onPick} />`}
          <${Structures} map=${map} neighbours=${atrium.facts.neighbours} lit=${lit} />
          ${isochrones && html`<${ActivationLabels} map=${map} isochrones=${isochrones} lesions=${intact ? [] : here} tagsAt=${intact ? [] : tagsAt} />`}
        <//>`;
      })}
    </div>
    ${!unnamed && html`<${MapKey} atrium=${atrium} withResult=${Boolean(result)} withActivation=${Boolean(activation?.shown)} only=${only} />`}
  </figure>`;
}

/** The lesions that lie in a chamber, each with the path the model took where there is a result for them.
 * @param {import("../model/atrium.js").Atrium} atrium @param {Api.Lesion[]} lesions @param {Api.Result | undefined} result @param {Api.Chamber} chamber */
function placed(atrium, lesions, result, chamber) {
  const names = atrium.namesOf(lesions);
  const drawn = result?.lesions.length === lesions.length ? result.lesions : undefined;
  return lesions.flatMap((lesion, index) => {
    const geometry = drawn?.[index]?.path.length && drawn[index].lesion === lesion.lesion ? drawn[index] : atrium.geometry(lesion);
    const work = workOf(atrium, result, lesions, index);
    return geometry?.chamber === chamber ? [{ geometry, energy: lesion.energy, index, name: work ? `${names[index]}: ${work}` : names[index] }] : [];
  });
}

/** @param {{map: ChamberMap, marks: Mark[], lit: Set<string>, onPick?: (key: string) => void, pen?: import("./use-drawing.js").Drawing, hatch: string, unnamed: boolean, children?: unknown}} props */
function Chamber({ map, marks, lit, onPick, pen, hatch, unnamed, children }) {
  const { x, y, width, height } = drawing;
  const name = map.shape.name;
  return html`<svg class="chamber" viewBox=${`0 0 ${width} ${height}`} role="group" aria-label=${`Map of the ${name}, seen from behind`}>
    <${Hatch} id=${hatch} />
    <g aria-hidden="true">
      <circle class="tissue" cx=${x} cy=${y} r=${map.rim} />
      <text class="rim" x=${x} y=${y - map.rim - 9}>${`${name}, rim: ${map.valve?.name || ""}`}</text>
      ${children}
      ${!unnamed && html`<${Sites} map=${map} lit=${lit} />`}
    </g>
    ${spread(marks.map(mark => ({ mark, at: map.place(mark.at) }))).map(({ mark, at }) => html`<${MarkSign} mark=${mark} at=${at} chosen=${lit.has(mark.key)}
      onPick=${onPick} />`)}
    ${pen && html`<${DrawLayer} map=${map} drawing=${pen} />`}
  </svg>`;
}

/** The ostium of a kept appendage is tissue, and only marked. @param {Api.Opening} opening @param {string} appendage */
const openingClass = (opening, appendage) => (opening.obstacle === "left-appendage-stump" && appendage === "kept" ? "opening kept" : "opening");

/** @typedef {{map: ChamberMap, appendage: string}} OpeningProps */

/** @param {OpeningProps} props */
const Openings = ({ map, appendage }) => html`<g>${map.openings.map(opening => html`<g class=${openingClass(opening, appendage)}><title>${opening.name}</title><path d=${map.opening(opening)} /></g>`)}</g>`;

/** The names of the openings, above the lesions that cross them. @param {OpeningProps} props */
const Labels = ({ map, appendage }) => html`<g>${map.openings.map(opening => {
  const [middle, y] = map.place(opening.centre), lines = labelLines(opening);
  const x = opening.obstacle === "left-appendage-stump" ? middle + 46 : middle; // beside it: off the rim and off its mark
  return html`<g class=${openingClass(opening, appendage)}>${lines.map((line, i) => html`<text x=${x} y=${y + 4.5 + (i - (lines.length - 1) / 2) * 15}>${line}</text>`)}</g>`;
})}</g>`;

/** @param {{map: ChamberMap, lit: Set<string>}} props */
const Sites = ({ map, lit }) => html`<g>${map.shape.sites.map(site => {
  const [x, y] = map.place(site.at), below = x > drawing.x;
  return html`<g class=${lit.has(`structure:${site.site}`) ? "site lit" : "site"}><circle cx=${x} cy=${y} r="4" /><text x=${below ? x : x + 8} y=${below ? y + 19 : y + 4.5} text-anchor=${below ? "middle" : "start"}>${site.name}</text></g>`;
})}</g>`;

/** @param {{mark: Mark, at: [number, number], chosen: boolean, onPick?: (key: string) => void}} props */
function MarkSign({ mark, at: [x, y], chosen, onPick }) {
  const pick = () => onPick?.(mark.key);
  const onKey = (/** @type {KeyboardEvent} */ event) => {
    if (event.key !== "Enter" && event.key !== " ") return;
    event.preventDefault();
    pick();
  };
  return html`<g class=${chosen ? "mark lit" : "mark"} role="button" tabindex="0" aria-pressed=${chosen} aria-label=${mark.name || `Finding ${mark.number}: ${mark.says}`}
    onClick=${pick} onKeyDown=${onKey}>
    <circle class="reach" cx=${x} cy=${y} r="16" /><circle class="disc" cx=${x} cy=${y} r="11" /><text x=${x} y=${y + 4.5}>${mark.number}</text></g>`;
}

/** Marks that would cover each other are moved apart. @param {{mark: Mark, at: [number, number]}[]} marks */
function spread(marks) {
  /** @type {{mark: Mark, at: [number, number]}[]} */
  const done = [];
  for (const { mark, at } of marks) {
    let [x, y] = at;
    while (done.some(other => Math.hypot(other.at[0] - x, other.at[1] - y) < 32)) {
      x += 33;
      if (x > drawing.width - 16) [x, y] = [at[0] - 33 * Math.floor((at[0] - 16) / 33), y + 33];
    }
    done.push({ mark, at: [Math.min(Math.max(x, 16), drawing.width - 16), Math.min(Math.max(y, 16), drawing.height - 16)] });
  }
  return done;
}
