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

/** The times on the lines and the place reached last, above the lesions. @param {{map: ChamberMap, isochrones: Isochrones}} props */
export function ActivationLabels({ map, isochrones }) {
  return useMemo(() => {
    const end = isochrones.latestPlace;
    /** @type {[number, number][]} */
    const taken = [...map.openings.map(opening => map.place(opening.centre)), ...map.shape.sites.map(site => map.place(site.at)), ...(end ? [end] : [])];
    const labels = isochrones.levels().flatMap(ms => {
      const place = isochrones.labelPlace(ms, taken);
      if (!place) return [];
      taken.push(place);
      return [{ ms, place }];
    });
    return html`<g class="times">${labels.map(({ ms, place: [x, y] }) => html`<text x=${x} y=${y + 4}>${ms} ms</text>`)}
      ${end && html`<${Latest} at=${end} ms=${isochrones.latest} />`}</g>`;
  }, [map, isochrones]);
}

/** @param {{at: [number, number], ms: number}} props */
function Latest({ at: [x, y], ms }) {
  const left = x > 250, low = y > 320;
  return html`<g class="latest"><title>${`Activated last, at ${Math.round(ms)} ms`}</title>
    <path d=${`M${x} ${y - 7}l7 7l-7 7l-7 -7z`} /><text x=${left ? x - 11 : x + 11} y=${low ? y - 6 : y + 4.5} text-anchor=${left ? "end" : "start"}>last, ${Math.round(ms)} ms</text></g>`;
}
