// How a beat spreads over one chamber of the map: tissue shaded in 20 ms steps from light to dark, lines of equal time with their times,
// the place reached last; and at a chosen time the front of the wave, with what it has not reached yet under a veil.
import { useMemo } from "preact/hooks";
import { html } from "../lib/html.js";
import { drawing } from "../model/chamber-map.js";

/** @typedef {import("../model/chamber-map.js").ChamberMap} ChamberMap */
/** @typedef {import("../model/isochrones.js").Isochrones} Isochrones */
/** @typedef {import("./use-activation.js").Activating} Activating */

/** Later steps than this are all shaded as the last. */
const shades = 12;

/** The shading, under everything else. Each step is also drawn as a broad line first, so that the tissue that cuts run through has a shade.
 * @param {{map: ChamberMap, isochrones: Isochrones, activation: Activating, clip: string}} props clip: a name for the rim that nothing else has */
export function ActivationGround({ map, isochrones, activation, clip }) {
  const still = useMemo(() => {
    const steps = isochrones.steps().map(({ step, d }) => ({ d, shade: `shade-${Math.min(step, shades - 1)}` }));
    return html`<g>${steps.map(({ d, shade }) => html`<path class=${`under ${shade}`} d=${d} />`)}${steps.map(({ d, shade }) => html`<path class=${shade} d=${d} fill-rule="evenodd" />`)}
      ${isochrones.levels().map(ms => html`<path class="equal-time" d=${isochrones.line(ms)} />`)}</g>`;
  }, [isochrones]);
  const { x, y } = drawing;
  return html`<clipPath id=${clip}><circle cx=${x} cy=${y} r=${map.rim} /></clipPath>
    <g class=${activation.stale ? "activation stale" : "activation"} clip-path=${`url(#${clip})`}>${still}<${Front} isochrones=${isochrones} time=${activation.time} /></g>
    <circle class="rim-line" cx=${x} cy=${y} r=${map.rim} />`;
}

/** @param {{isochrones: Isochrones, time: import("@preact/signals").Signal<number>}} props alone drawn anew while the wave runs */
function Front({ isochrones, time }) {
  const ms = time.value;
  if (ms >= isochrones.latest) return null;
  return html`<path class="veil" d=${isochrones.after(ms)} fill-rule="evenodd" /><path class="front" d=${isochrones.line(ms)} />`;
}

/** The times on the lines and the place reached last, above everything drawn, beside the lesions.
 * @param {{map: ChamberMap, isochrones: Isochrones, lesions: import("./map-layers.js").MapLesion[], tagsAt: [number, number][]}} props */
export function ActivationLabels({ map, isochrones, lesions, tagsAt }) {
  const lines = lesions.map(({ geometry }) => map.path(geometry.path, geometry.closed)).join("");
  return useMemo(() => {
    const end = isochrones.latestPlace;
    const taken = [...map.labelled(), ...tagsAt.flatMap(([x, y]) => /** @type {[number, number][]} */ ([[x - 28, y], [x, y], [x + 28, y]])), ...lesions.flatMap(({ geometry }) => map.along(geometry.path, geometry.closed))];
    const last = end && beside(end, taken);
    if (end && last) taken.push(end, last);
    const within = (/** @type {[number, number]} */ [x, y]) => Math.hypot(x - drawing.x, y - drawing.y) < map.rim - 24;
    const labels = isochrones.levels().flatMap(ms => {
      const place = isochrones.labelPlace(ms, taken, within);
      if (!place) return [];
      taken.push(place);
      return [{ ms, place }];
    });
    return html`<g class="times">${labels.map(({ ms, place: [x, y] }) => html`<text x=${x} y=${y + 4}>${ms} ms</text>`)}
      ${end && last && html`<${Latest} at=${end} words=${last} ms=${isochrones.latest} />`}</g>`;
  }, [map, isochrones, lines, tagsAt.join()]);
}

/** Where words beside a sign have most room. @param {[number, number]} at @param {[number, number][]} taken @returns {[number, number]} */
function beside([x, y], taken) {
  const room = (/** @type {[number, number]} */ [px, py]) => Math.min(px - 44, drawing.width - 44 - px, ...taken.map(([tx, ty]) => Math.hypot((tx - px) / 2, ty - py)));
  /** @type {[number, number][]} */
  const places = [[x + 52, y], [x - 52, y], [x, y - 18], [x, y + 19], [x + 46, y + 19], [x - 46, y + 19], [x + 46, y - 18], [x - 46, y - 18]];
  return places.reduce((best, one) => (room(one) > room(best) ? one : best));
}

/** @param {{at: [number, number], words: [number, number], ms: number}} props */
const Latest = ({ at: [x, y], words, ms }) => html`<g class="latest"><title>${`Activated last, at ${Math.round(ms)} ms`}</title>
  <path d=${`M${x} ${y - 7}l7 7l-7 7l-7 -7z`} /><text x=${words[0]} y=${words[1] + 4.5}>last, ${Math.round(ms)} ms</text></g>`;
