// What lies on one chamber of the map, from the tissue up: islands, lesions, circuits, open line ends.
import { html } from "../lib/html.js";
import { mm } from "../lib/numbers.js";

/** @typedef {import("../model/chamber-map.js").ChamberMap} ChamberMap */
/** @typedef {import("../model/conduction.js").NamedCircuit} NamedCircuit */
/** @typedef {{geometry: Api.DrawnLesion, energy?: string, index: number, name: string}} MapLesion */
/** @typedef {{lit: Set<string>, onPick?: (key: string) => void}} Light */

/** @param {{map: ChamberMap, islands: Api.Island[]}} props */
export const Islands = ({ map, islands }) => html`<g>${islands.map(island => html`
  <path class="island" d=${map.rings(island.outline)} fill=${`url(#hatch-${map.shape.chamber})`} fill-rule="evenodd"><title>${island.name.replaceAll("-", " ")}: no longer connected, ${island.area_cm2.toFixed(1)} cm²</title></path>`)}</g>`;

/** Heat is a solid line, cold a dotted one, an incision a double one. @param {{map: ChamberMap, lesions: MapLesion[]} & Light} props */
export const Lesions = ({ map, lesions, lit, onPick }) => html`<g>${lesions.map(({ geometry, energy, index, name }) => {
  const d = map.path(geometry.path, geometry.closed), key = `lesion:${index}`;
  return html`<g class=${lit.has(key) ? "lesion lit" : "lesion"} onClick=${onPick && (() => onPick(key))}>
    <title>${name}</title>
    <path class="halo" d=${d} /><path class=${`stroke ${energy || ""}`} d=${d} />${energy === "incision" && html`<path class="core" d=${d} />`}
  </g>`;
})}</g>`;

/** @param {{map: ChamberMap, circuits: NamedCircuit[]} & Light} props */
export function Circuits({ map, circuits, lit, onPick }) {
  /** @type {[number, number][]} */
  const taken = map.openings.map(opening => map.place(opening.centre));
  const group = (/** @type {NamedCircuit} */ { chamber, index, circuit, tag }, /** @type {unknown} */ inside) => {
    const key = `circuit:${chamber}:${index}`;
    return html`<g class=${`circuit ${circuit.verdict}${lit.has(key) ? " lit" : ""}`} onClick=${onPick && (() => onPick(key))}>
      <title>${`Circuit ${tag}, ${circuit.name}, ${mm(circuit.length_mm)}`}</title>${inside}</g>`;
  };
  const paths = circuits.map(one => {
    const d = map.circuit(one.circuit.path);
    return group(one, html`<path class="halo" d=${d} /><path class="stroke" d=${d} />`);
  });
  const tags = circuits.map(one => { // above every path, each where it has most room
    const [x, y] = map.tagPlace(one.circuit.path.filter(site => site.chamber === one.chamber).map(site => site.at), taken);
    taken.push([x, y]);
    const text = `${one.tag} ${mm(one.circuit.length_mm)}`;
    return group(one, html`<rect class="tag" x=${x - text.length * 3.9 - 5} y=${y - 10} width=${text.length * 7.8 + 10} height="20" rx="3" /><text class="tag-text" x=${x} y=${y + 4.5}>${text}</text>`);
  });
  return html`<g>${paths}${tags}</g>`;
}

/** @param {{map: ChamberMap, gaps: Api.Gap[]} & Light} props */
export const Gaps = ({ map, gaps }) => html`<g>${gaps.map(gap => {
  const [x, y] = map.place(gap.at);
  return html`<g class="gap"><title>Open line end, ${mm(gap.width_mm)} from ${gap.nearest.replaceAll("-", " ")}</title>
    <circle cx=${x} cy=${y} r="7" /><path d=${`M${x - 11} ${y}h8M${x + 3} ${y}h8`} /></g>`;
})}</g>`;
