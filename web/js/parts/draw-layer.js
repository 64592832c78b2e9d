// What lies over one chamber of the map while drawing: the surface that takes the pointer, the path so far, and the points of a chosen line.
import { useRef, useState } from "preact/hooks";
import { html } from "../lib/html.js";
import { drawing } from "../model/chamber-map.js";
import { Palm } from "../model/palm.js";

/** @typedef {import("./use-drawing.js").Drawing} Drawing */
/** @typedef {import("../model/chamber-map.js").ChamberMap} ChamberMap */

/** How far apart in the drawing two touches are two points, within how many ms two on one place finish, and how far apart a pull's way is kept. */
const apart = 10, doubleMS = 400, grain = 3;

/** One for the whole map: the palm may rest on the other chamber. */
const palm = new Palm();

/** @type {Record<string, [number, number]>} right, up */
const arrows = { ArrowRight: [1, 0], ArrowLeft: [-1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

/** The place of a pointer in the drawing's own units. @param {any} event @returns {[number, number]} */
function placeOf(event) {
  const svg = event.currentTarget.ownerSVGElement;
  const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
  return [at.x, at.y];
}

/** @param {{map: ChamberMap, drawing: Drawing}} props */
export function DrawLayer({ map, drawing: pen }) {
  const chamber = map.shape.chamber;
  if (pen.draft) return html`<${Surface} map=${map} pen=${pen} />`;
  if (pen.edited < 0 || pen.chamber !== chamber) return null;
  return html`<g class="points">${pen.path.map((at, i) => html`<${Handle} key=${i} map=${map} pen=${pen} index=${i} at=${at} />`)}</g>`;
}

/** @typedef {{x: number, y: number, id: number, type: string, placed: boolean, trail: Api.Vec[]}} Press a pointer that is down, with the way it took */

/** Each tap is a point; pressing, pulling and letting go draws a stretch along the hand's way; two taps on one place finish.
 * @param {{map: ChamberMap, pen: Drawing}} props */
function Surface({ map, pen }) {
  const chamber = map.shape.chamber;
  const down = useRef(/** @type {Press | null} */ (null));
  const last = useRef({ x: -99, y: -99, when: 0 });
  const [loose, setLoose] = useState(/** @type {Api.Vec[]} */ ([]));
  const draft = pen.draft?.now;
  const here = draft?.chamber === chamber;
  const onDown = (/** @type {any} */ event) => {
    if (!palm.draws(event)) return;
    event.preventDefault();
    if (event.pointerType === "pen" && down.current?.type === "touch" && down.current.placed) pen.undo(); // the palm came before the tip
    event.currentTarget.setPointerCapture(event.pointerId);
    const [x, y] = placeOf(event), at = map.direction(x, y);
    const twice = here && event.timeStamp - last.current.when < doubleMS && Math.hypot(x - last.current.x, y - last.current.y) < apart;
    last.current = { x, y, when: event.timeStamp };
    down.current = null;
    if (twice) return pen.finish();
    down.current = { x, y, id: event.pointerId, type: event.pointerType, placed: pen.place(chamber, at), trail: [at] };
  };
  const onMove = (/** @type {any} */ event) => {
    palm.sees(event);
    const press = down.current, [x, y] = placeOf(event), at = map.direction(x, y);
    if (!press) return setLoose(here && draft && event.pointerType !== "touch" ? [...draft.path.slice(-1), at] : []);
    if (press.id !== event.pointerId) return;
    const [px, py] = map.place(press.trail[press.trail.length - 1]);
    if (Math.hypot(x - px, y - py) < grain) return;
    press.trail.push(at);
    setLoose([...press.trail]);
  };
  const onUp = (/** @type {any} */ event) => {
    const press = down.current;
    if (press && press.id !== event.pointerId) return;
    const [x, y] = placeOf(event);
    down.current = null;
    if (press && Math.hypot(x - press.x, y - press.y) > 2 * apart) pen.pull(chamber, [...press.trail, map.direction(x, y)]);
    setLoose([]);
  };
  const { x, y } = drawing;
  const path = here && draft ? draft.path : [], closed = Boolean(draft?.closed) && path.length > 2;
  return html`<g class="drawing-layer">
    ${path.length > 0 && html`<path class="draft-halo" d=${map.path(path, closed)} /><path class="draft" d=${map.path(path, closed)} />`}
    ${loose.length > 1 && html`<path class="draft loose" d=${map.path(loose, false)} />`}
    ${path.map(at => map.place(at)).map(([px, py]) => html`<circle class="draft-point" cx=${px} cy=${py} r="6" />`)}
    <circle class="pen" data-chamber=${chamber} cx=${x} cy=${y} r=${map.rim + 10} onPointerDown=${onDown} onPointerMove=${onMove} onPointerUp=${onUp}
      onPointerCancel=${() => { down.current = null; setLoose([]); }} onPointerLeave=${() => { if (!down.current) setLoose([]); }} />
    ${(!draft?.chamber || here) && html`<${Cross} map=${map} pen=${pen} />`}
  </g>`;
}

/** The place the keys steer to put a point there: seen while it has the focus. @param {{map: ChamberMap, pen: Drawing}} props */
function Cross({ map, pen }) {
  const chamber = map.shape.chamber, at = pen.crossOf(chamber), [x, y] = map.place(at);
  const onKey = (/** @type {KeyboardEvent} */ event) => {
    const arrow = arrows[event.key];
    if (arrow) pen.steer(chamber, arrow[0], arrow[1], event.shiftKey ? 5 : 1);
    else if (event.key === "Enter" || event.key === " ") { if (!pen.place(chamber, at)) pen.sayWhere(chamber); }
    else if (event.key === "Backspace" || event.key === "Delete") pen.undo();
    else return;
    event.preventDefault();
  };
  return html`<g class="cross" data-chamber=${chamber} role="button" tabindex="0" onKeyDown=${onKey} onFocus=${() => pen.sayWhere(chamber)}
    aria-label=${`Cross on the ${map.shape.name.toLowerCase()}: the arrow keys move it 1 mm, with Shift 5 mm; Enter puts a point there; Backspace takes the last one back`}>
    <circle class="reach" cx=${x} cy=${y} r="22" /><path d=${`M${x - 18} ${y}h36M${x} ${y - 18}v36`} /></g>`;
}

/** One point of a chosen line: chosen by a tap, moved by pulling, by the arrow keys or by the buttons under the map.
 * @param {{map: ChamberMap, pen: Drawing, index: number, at: Api.Vec}} props */
function Handle({ map, pen, index, at }) {
  const [x, y] = map.place(at), chosen = index === pen.point;
  const held = useRef(/** @type {{x: number, y: number, moved: boolean} | null} */ (null));
  const onDown = (/** @type {any} */ event) => {
    if (!palm.draws(event)) return;
    event.currentTarget.setPointerCapture(event.pointerId);
    const [px, py] = placeOf(event);
    held.current = { x: px, y: py, moved: false };
  };
  const onMove = (/** @type {any} */ event) => {
    palm.sees(event);
    const hold = held.current;
    if (!hold) return;
    const [px, py] = placeOf(event);
    if (!hold.moved && Math.hypot(px - hold.x, py - hold.y) < 4) return;
    hold.moved = true;
    pen.drag(index, map.direction(px, py));
  };
  const onUp = (/** @type {any} */ event) => {
    const hold = held.current;
    held.current = null;
    if (hold?.moved) pen.move(index, map.direction(...placeOf(event)));
    pen.drop();
    if (hold && !hold.moved) pen.choose(index);
  };
  const onKey = (/** @type {KeyboardEvent} */ event) => {
    const arrow = arrows[event.key];
    if (arrow) pen.nudge(index, arrow[0], arrow[1], event.shiftKey ? 5 : 1);
    else if (event.key === "Delete" || event.key === "Backspace") {
      pen.remove(index);
      requestAnimationFrame(() => /** @type {SVGElement | null} */ (document.querySelector(".point.chosen"))?.focus());
    }
    else if (event.key === "Enter" || event.key === " ") pen.choose(index);
    else return;
    event.preventDefault();
  };
  return html`<g class=${chosen ? "point chosen" : "point"} role="button" tabindex="0" aria-pressed=${chosen} aria-label=${`${pen.name}: ${pen.where(index)}`}
    onPointerDown=${onDown} onPointerMove=${onMove} onPointerUp=${onUp} onPointerCancel=${() => { held.current = null; pen.drop(); }} onKeyDown=${onKey}>
    <circle class="reach" cx=${x} cy=${y} r="22" />
    ${chosen ? html`<rect class="dot" x=${x - 9} y=${y - 9} width="18" height="18" rx="2" />` : html`<circle class="dot" cx=${x} cy=${y} r="8" />`}
    <text x=${x} y=${y + 4.5}>${index + 1}</text></g>`;
}
