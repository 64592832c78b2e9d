// Drawing without a pointer: a line between two landmarks, a ring round openings, or one point after the other.
import { useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { html } from "../lib/html.js";
import { listed } from "../lib/words.js";
import { openings } from "../model/draw.js";
import { ringRound, within } from "../model/ring.js";
import { landmarks, noWay, passedThrough, placeAt, wayBetween, waysOf } from "../model/ways.js";

/** @typedef {{atrium: import("../model/atrium.js").Atrium, pen: import("./use-drawing.js").Drawing}} Props */
/** @typedef {import("../model/ways.js").Landmark & {chamber: Api.Chamber, key: string}} Mark */

/** Every landmark of the chambers given. @param {Props} props @param {Api.Chamber} [only] @returns {Mark[]} */
const marksOf = ({ atrium, pen }, only) => atrium.facts.chambers.filter(({ chamber }) => !only || chamber === only)
  .flatMap(({ chamber }) => landmarks(pen.around(chamber)).map(mark => ({ ...mark, chamber, key: `${chamber} ${mark.id}` })));

/** @param {{label: string, value: string, atrium: Props["atrium"], marks: Mark[], onValue: (key: string) => void}} props */
const MarkField = ({ label, value, atrium, marks, onValue }) => html`<label class="choice"><span>${label}</span>
  <select aria-label=${label} value=${value} onChange=${(/** @type {any} */ event) => onValue(event.target.value)}>
    <option value="">Choose</option>
    ${atrium.facts.chambers.map(({ chamber, name }) => {
      const offered = marks.filter(mark => mark.chamber === chamber);
      return offered.length > 0 && html`<optgroup label=${name}>${offered.map(mark => html`<option value=${mark.key} selected=${mark.key === value}>${mark.name}</option>`)}</optgroup>`;
    })}
  </select></label>`;

/** A line between two landmarks, by the way chosen. @param {Props} props */
export function BetweenLandmarks({ atrium, pen }) {
  const all = marksOf({ atrium, pen });
  const [from, setFrom] = useState(""), [to, setTo] = useState(""), [route, setRoute] = useState("straight");
  const [fault, setFault] = useState("");
  const start = all.find(mark => mark.key === from), end = all.find(mark => mark.key === to && mark.chamber === start?.chamber && mark.key !== from);
  const ways = waysOf(start?.chamber || "left-atrium"), way = ways.find(one => one.id === route) || ways[0];
  const place = () => {
    const around = pen.around(start?.chamber || "left-atrium");
    const wrong = start && end ? noWay(start, end, way, around.shape.radius_mm) : "Choose where the line starts and where it ends.";
    setFault(wrong);
    if (wrong || !start || !end) return announce(wrong);
    const path = wayBetween(start, end, way), through = passedThrough(path, false, around).map(one => `the ${one.name}`);
    return pen.keep({ chamber: start.chamber, path, closed: false }, through.length > 0 ? ` It passes through ${listed(through)}.` : "");
  };
  return html`<fieldset class="landmarks">
    <legend>Or between two landmarks</legend>
    <${MarkField} label="From" value=${from} atrium=${atrium} marks=${all} onValue=${(/** @type {string} */ key) => { setFrom(key); setFault(""); }} />
    <${MarkField} label="To" value=${end ? to : ""} atrium=${atrium} marks=${start ? all.filter(mark => mark.chamber === start.chamber && mark !== start) : all}
      onValue=${(/** @type {string} */ key) => { setTo(key); setFault(""); }} />
    <label class="choice"><span>Route</span><select aria-label="Route" value=${way.id} onChange=${(/** @type {any} */ event) => setRoute(event.target.value)}>
      ${ways.map(one => html`<option value=${one.id} selected=${one.id === way.id}>${one.name}</option>`)}</select></label>
    <button type="button" class="quiet" onClick=${place}>Place line</button>
    ${fault && html`<p class="fault" role="alert">${fault}</p>`}
  </fieldset>`;
}

/** A ring that keeps clear of the openings chosen. @param {Props} props */
export function RoundOpenings({ atrium, pen }) {
  const [chosen, setChosen] = useState(/** @type {string[]} */ ([]));
  const [fault, setFault] = useState("");
  const chamberOf = (/** @type {string} */ id) => atrium.facts.chambers.find(shape => shape.openings.some(one => one.obstacle === id))?.chamber;
  const chamber = chamberOf(chosen[0] || "");
  const toggle = (/** @type {string} */ id) => {
    setFault("");
    setChosen(chosen.includes(id) ? chosen.filter(one => one !== id) : [...chosen, id]);
  };
  const place = () => {
    const around = chamber && pen.around(chamber), all = around ? openings(around) : [];
    const ring = around && ringRound(all.filter(one => chosen.includes(one.obstacle)), around.shape.radius_mm);
    const wrong = !chamber ? "Choose the openings to go round." : !ring ? "These openings lie too far apart for one ring: choose fewer, or go point by point." : "";
    setFault(wrong);
    if (!chamber || !ring) return announce(wrong);
    const found = within(ring, all), words = (/** @type {Api.Opening[]} */ some) => listed(some.map(one => `the ${one.name}`));
    return pen.keep({ chamber, path: ring, closed: true }, ` It goes round ${words(found.round)}.${found.crossed.length > 0 ? ` It crosses ${words(found.crossed)}.` : ""}`);
  };
  return html`<fieldset class="landmarks">
    <legend>Or round openings</legend>
    ${atrium.facts.chambers.map(shape => html`<div class="openings" role="group" aria-label=${shape.name}><span class="small">${shape.name}</span>
      ${openings(pen.around(shape.chamber)).map(one => html`<label class="check"><input type="checkbox" checked=${chosen.includes(one.obstacle)}
        disabled=${chamber !== undefined && chamber !== shape.chamber} onChange=${() => toggle(one.obstacle)} /><span>${one.name}</span></label>`)}</div>`)}
    <button type="button" class="quiet" onClick=${place}>Place ring</button>
    ${fault && html`<p class="fault" role="alert">${fault}</p>`}
  </fieldset>`;
}

/** One point after the other: at a landmark, or where the cross on the map is steered. @param {Props} props */
export function PointByPoint({ atrium, pen }) {
  const draft = pen.draft?.now;
  const marks = marksOf({ atrium, pen }, draft?.chamber);
  const [at, setAt] = useState("");
  const mark = marks.find(one => one.key === at);
  const add = () => {
    if (!mark) return announce("Choose the landmark to put a point at.");
    const seen = draft?.path[draft.path.length - 1] || pen.crossOf(mark.chamber);
    if (!pen.place(mark.chamber, placeAt(mark, seen))) announce(`The last point is at the ${mark.name} already.`);
    return undefined;
  };
  const steer = () => /** @type {SVGElement | null} */ (document.querySelector(`.cross[data-chamber="${draft?.chamber || mark?.chamber || "left-atrium"}"]`))?.focus();
  return html`<fieldset class="landmarks points-by-key">
    <legend>Or point by point</legend>
    <${MarkField} label="Point at" value=${mark ? at : ""} atrium=${atrium} marks=${marks} onValue=${setAt} />
    <button type="button" class="quiet" onClick=${add}>Add point</button>
    <button type="button" class="quiet" onClick=${steer}>Steer the cross with the keys</button>
  </fieldset>`;
}
