// The path being drawn: its points with an undo of their own, the cross that the keys steer, and what is said of each.
import { useEffect, useRef, useState } from "preact/hooks";
import { emptyDraft, placeStretch } from "../acts/drawing.js";
import { History } from "../acts/history.js";
import { announce } from "../lib/announce.js";
import { isEnd, rounded, snapped, whereabouts } from "../model/draw.js";
import { flaw, leastPoints, lengthMM, thinned } from "../model/path.js";

/** @typedef {import("../acts/drawing.js").Draft} Draft */
/** @typedef {{chamber: Api.Chamber, path: Api.Vec[], closed: boolean}} Geometry */
/** @typedef {(chamber: Api.Chamber) => import("../model/draw.js").Surroundings} Around */

/** Points nearer than this to the last one are a second press on the same place, in mm. */
const samePlaceMM = 1.5;

/** How far the points kept of a pulled stretch may leave the hand's way, in mm: a hand is not steadier than that on a small map. */
const handMM = 2;

/** @param {import("../model/atrium.js").Atrium} atrium @param {Around} around @param {(geometry: Geometry) => void} onFinished */
export function useDraft(atrium, around, onFinished) {
  const [draft, show] = useState(/** @type {History<Draft> | null} */ (null));
  const live = useRef(draft); // a pull's first and last point can come before the page is drawn anew
  const setDraft = (/** @type {History<Draft> | null} */ next) => { live.current = next; show(next); };
  const [crosses, setCrosses] = useState(/** @type {Partial<Record<Api.Chamber, Api.Vec>>} */ ({}));
  const now = draft?.now;
  const radius = (/** @type {Api.Chamber} */ chamber) => around(chamber).shape.radius_mm;
  const begin = (/** @type {boolean} */ ring) => {
    setDraft(new History(emptyDraft(ring)));
    setCrosses({});
    announce(`Drawing a ${ring ? "ring" : "line"}. Tap the map for each point, or use the controls under it, then finish.`);
  };
  const cancel = () => { setDraft(null); announce("Drawing cancelled. Nothing was added."); };
  const finish = () => {
    if (!now) return;
    const wrong = now.chamber ? flaw(now.path, now.closed, radius(now.chamber)) : flaw([], now.closed, 1);
    if (wrong || !now.chamber) return announce(wrong);
    onFinished({ chamber: now.chamber, path: now.path, closed: now.closed });
  };
  /** Adds points; what of them lies on the last one is left out. Gives whether any was added. @param {Api.Chamber} chamber @param {Api.Vec[]} raw */
  const place = (chamber, raw) => {
    const before = live.current;
    if (!before) return false;
    const { path, closed, chamber: own } = before.now, last = path[path.length - 1];
    if (own && own !== chamber) { announce(`A ${closed ? "ring" : "line"} stays in the chamber of its first point.`); return false; }
    const settled = raw.map((at, i) => (!closed && (i === raw.length - 1 || (i === 0 && !last)) ? snapped(at, around(chamber)) : rounded(at)));
    const stretch = settled.filter((at, i) => i > 0 || !last || lengthMM([last, at], false, radius(chamber)) >= samePlaceMM);
    if (stretch.length === 0) return false;
    setDraft(before.after(placeStretch(chamber, stretch)));
    const end = stretch[stretch.length - 1], count = path.length + stretch.length;
    setCrosses({ ...crosses, [chamber]: end });
    announce(`Point ${count}, ${whereabouts(end, around(chamber), !closed)}`);
    return true;
  };
  const crossOf = (/** @type {Api.Chamber} */ chamber) => crosses[chamber] || atrium.maps.find(one => one.shape.chamber === chamber)?.middle || [0, 0, 1];
  const steer = (/** @type {Api.Chamber} */ chamber, /** @type {number} */ right, /** @type {number} */ up, /** @type {number} */ mm) => {
    const map = atrium.maps.find(one => one.shape.chamber === chamber);
    const at = rounded(map?.moved(crossOf(chamber), right, up, mm) || crossOf(chamber));
    setCrosses({ ...crosses, [chamber]: at });
    announce(whereabouts(at, around(chamber), !now?.closed));
  };
  const undo = () => { const draft = live.current; if (!draft?.undoes) return false; setDraft(draft.undone()); announce(`Undone: ${draft.undoes}. ${points(draft.undone().now.path.length)}.`); return true; };
  const redo = () => { if (!draft?.redoes) return false; setDraft(draft.redone()); announce(`Done again: ${draft.redoes}. ${points(draft.redone().now.path.length)}.`); return true; };
  useDrawingKeys(Boolean(draft), finish, cancel);
  return {
    draft, ready: Boolean(now?.chamber && now.path.length >= leastPoints(now.closed)), begin, cancel, finish, end: () => setDraft(null), crossOf, steer, undo, redo,
    place: (/** @type {Api.Chamber} */ chamber, /** @type {Api.Vec} */ at) => place(chamber, [at]),
    /** A way the hand drew, from the point it began at. @param {Api.Chamber} chamber @param {Api.Vec[]} trail */
    pull: (chamber, trail) => { const way = thinned(trail, false, radius(chamber), handMM).slice(1); return way.length > 0 && place(chamber, way); },
    sayWhere: (/** @type {Api.Chamber} */ chamber) => announce(whereabouts(crossOf(chamber), around(chamber), !now?.closed)),
  };
}

/** @param {number} count */
export const points = count => `${count} ${count === 1 ? "point" : "points"}`;

/** A finished path in words: what it is, how long, and where its ends lie. @param {string} name @param {Geometry} geometry @param {import("../model/draw.js").Surroundings} around */
export function pathWords(name, { path, closed }, around) {
  const ends = [path[0], path[path.length - 1]].map((at, i) => (isEnd(path, closed, i === 0 ? 0 : path.length - 1) ? whereabouts(at, around, true) : ""));
  const length = Math.round(lengthMM(path, closed, around.shape.radius_mm));
  return `${name} added: a ${closed ? "ring" : "line"} of ${points(path.length)}, ${length} mm.${closed ? "" : ` From ${ends[0]}, to ${ends[1]}.`}`;
}

/** Enter finishes and Escape cancels while drawing; Enter on a control is that control's. @param {boolean} on @param {() => void} finish @param {() => void} cancel */
function useDrawingKeys(on, finish, cancel) {
  const now = useRef({ finish, cancel });
  now.current = { finish, cancel }; // at once: a key can come before the effects of the last point have run
  useEffect(() => {
    if (!on) return undefined;
    const onKey = (/** @type {KeyboardEvent} */ event) => {
      const control = event.target instanceof Element && event.target.closest("button, select, input, textarea, a, summary, [role=button]");
      if (event.key === "Escape") now.current.cancel();
      else if (event.key === "Enter" && !control) now.current.finish();
      else return;
      event.preventDefault();
    };
    addEventListener("keydown", onKey);
    return () => removeEventListener("keydown", onKey);
  }, [on]);
}
