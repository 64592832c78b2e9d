// What lies on one chamber of the map, from the tissue up: islands, lesions, circuits, open line ends.
import { html } from "../lib/html.js";
import { mm, plain } from "../lib/numbers.js";
import { word } from "../lib/words.js";

/** @typedef {import("../model/chamber-map.js").ChamberMap} ChamberMap */
/** @typedef {import("../model/conduction.js").NamedCircuit} NamedCircuit */
/** @typedef {{geometry: Api.DrawnLesion, energy?: string, index: number, name: string}} MapLesion */
/** @typedef {{lit: Set<string>, onPick?: (key: string) => void}} Light */

/** @param {{map: ChamberMap, islands: Api.Island[], hatch: string}} props hatch: the pattern's name */
export const Islands = ({ map, islands, hatch }) => html`<g>${islands.map(island => html`
  <path class="island" d=${map.rings(island.outline)} fill=${`url(#${hatch})`} fill-rule="evenodd"><title>${word(island.name)}: no longer connected, ${island.area_cm2.toFixed(1)} cm²</title></path>`)}</g>`;

/** The names of the islands that have room for one, with their area; the list beside the map has them all. @param {{map: ChamberMap, islands: Api.Island[]}} props */
export function IslandNames({ map, islands }) {
  /** @type {[number, number][]} */
  const taken = map.openings.map(opening => map.place(opening.centre));
  return html`<g class="island-names">${islands.map(island => {
    const at = map.roomIn(island.outline, taken);
    if (!at) return null;
    taken.push(at);
    const lines = [...broken(word(island.name)), `${plain(island.area_cm2)} cm²`];
    return html`<text y=${at[1] + 4.5 - (lines.length - 1) * 7.5}>${lines.map((line, i) => html`<tspan x=${at[0]} dy=${i > 0 ? 15 : 0}>${line}</tspan>`)}</text>`;
  })}</g>`;
}

/** Words on lines of about ten letters. @param {string} text @returns {string[]} */
const broken = text => text.split(" ").reduce((/** @type {string[]} */ lines, one) => {
  const last = lines[lines.length - 1];
  return last && `${last} ${one}`.length <= 11 ? [...lines.slice(0, -1), `${last} ${one}`] : [...lines, one];
}, []);

/** The structures chosen in the list beside the map: their course outside the chamber's wall. @param {{map: ChamberMap, neighbours?: Api.Neighbour[], lit: Set<string>}} props */
export const Structures = ({ map, neighbours = [], lit }) => html`<g>${neighbours
  .filter(one => one.chamber === map.shape.chamber && lit.has(`structure:${one.id}`))
  .map(one => {
    const [x, y] = map.tagPlace(one.path, map.labelled()), d = map.path(one.path, false);
    return html`<g class="structure"><title>${one.name}</title><path class="halo" d=${d} /><path class="stroke" d=${d} /><text x=${Math.min(Math.max(x, 70), 270)} y=${y + 18}>${one.name}</text></g>`;
  })}</g>`;

/** Heat is a solid line, cold a dotted one, an incision a double one. @param {{map: ChamberMap, lesions: MapLesion[]} & Light} props */
export const Lesions = ({ map, lesions, lit, onPick }) => html`<g>${lesions.map(({ geometry, energy, index, name }) => {
  const d = map.path(geometry.path, geometry.closed), key = `lesion:${index}`;
  return html`<g class=${lit.has(key) ? "lesion lit" : "lesion"} onClick=${onPick && (() => onPick(key))}>
    <title>${name}</title>
    <path class="halo" d=${d} /><path class=${`stroke ${energy || ""}`} d=${d} />${energy === "incision" && html`<path class="core" d=${d} />`}
  </g>`;
})}</g>`;

/** Where each circuit's tag has most room. @param {ChamberMap} map @param {NamedCircuit[]} circuits @returns {[number, number][]} */
export function tagPlaces(map, circuits) {
  const taken = map.openings.map(opening => map.place(opening.centre)), fixed = taken.length;
  for (const one of circuits) taken.push(map.tagPlace(one.circuit.path.filter(site => site.chamber === one.chamber).map(site => site.at), taken));
  return taken.slice(fixed);
}

/** @param {{map: ChamberMap, circuits: NamedCircuit[], tagsAt: [number, number][]} & Light} props tagsAt: by tagPlaces */
export function Circuits({ map, circuits, tagsAt, lit, onPick }) {
  const group = (/** @type {NamedCircuit} */ { chamber, index, circuit, tag }, /** @type {unknown} */ inside) => {
    const key = `circuit:${chamber}:${index}`;
    return html`<g class=${`circuit ${circuit.verdict}${lit.has(key) ? " lit" : ""}`} onClick=${onPick && (() => onPick(key))}>
      <title>${`Circuit ${tag}, ${circuit.name}, ${mm(circuit.length_mm)}`}</title>${inside}</g>`;
  };
  const paths = circuits.map(one => {
    const d = map.circuit(one.circuit.path);
    return group(one, html`<path class="halo" d=${d} /><path class="stroke" d=${d} />`);
  });
  const tags = circuits.map((one, i) => { // above every path
    const [x, y] = tagsAt[i], text = `${one.tag} ${mm(one.circuit.length_mm)}`;
    return group(one, html`<rect class="tag" x=${x - text.length * 3.9 - 5} y=${y - 10} width=${text.length * 7.8 + 10} height="20" rx="3" /><text class="tag-text" x=${x} y=${y + 4.5}>${text}</text>`);
  });
  return html`<g>${paths}${tags}</g>`;
}

/** A gap's sign, with its width. @param {{map: ChamberMap, gaps: Api.Gap[]} & Light} props */
export const Gaps = ({ map, gaps, lit, onPick }) => html`<g>${gaps.map((gap, index) => {
  const [x, y] = map.place(gap.at), key = `gap:${map.shape.chamber}:${index}`, low = y > 300;
  return html`<g class=${lit.has(key) ? "gap lit" : "gap"} onClick=${onPick && (() => onPick(key))}><title>Gap: open line end, ${mm(gap.width_mm)} from ${word(gap.nearest)}</title>
    <circle class="reach" cx=${x} cy=${y} r="14" /><circle cx=${x} cy=${y} r="7" /><path d=${`M${x - 11} ${y}h8M${x + 3} ${y}h8`} />
    <text x=${x} y=${low ? y - 13 : y + 22}>gap ${mm(gap.width_mm)}</text></g>`;
})}</g>`;
