// Drawing on the map: the path being drawn, and the points of the drawn lesion that is chosen.
import { useState } from "preact/hooks";
import { addPoint, adjustLesion, deletePoint, movePoint } from "../acts/drawing.js";
import { addLesion, removeLesion } from "../acts/lesions.js";
import { announce } from "../lib/announce.js";
import { isEnd, pointAfter, rounded, snapped, whereabouts } from "../model/draw.js";
import { flaw, leastPoints, thinned } from "../model/path.js";
import { newDrawn } from "../model/plan-draft.js";
import { pathWords, points, useDraft } from "./use-draft.js";

/** @typedef {ReturnType<typeof useDrawing>} Drawing */
/** @typedef {{plan: Api.Plan, names: string[], index: number, onAct: (act: import("../acts/history.js").Act<any>) => void, around: (chamber: Api.Chamber, except?: number) => import("../model/draw.js").Surroundings}} Editing */

/**
 * @param {import("../model/atrium.js").Atrium} atrium @param {Api.Plan} plan @param {(act: import("../acts/history.js").Act<any>) => void} onAct
 * @param {Set<string>} lit @param {(lit: Set<string>) => void} setLit
 */
export function useDrawing(atrium, plan, onAct, lit, setLit) {
  const names = atrium.namesOf(plan.lesions);
  const around = (/** @type {Api.Chamber} */ chamber, except = -1) => surroundings(atrium, plan, names, chamber, except);
  const choose = (/** @type {number} */ index) => setLit(new Set(index < 0 ? [] : [`lesion:${index}`]));
  /** Adds a finished path to the plan and chooses it. @param {import("./use-draft.js").Geometry} geometry @param {string} [also] said besides */
  const keep = (geometry, also = "") => {
    const wrong = flaw(geometry.path, geometry.closed, around(geometry.chamber).shape.radius_mm);
    if (wrong) return announce(wrong);
    const name = atrium.namesOf([...plan.lesions, {}])[plan.lesions.length];
    onAct(addLesion(newDrawn(plan, geometry), name));
    drawn.end();
    choose(plan.lesions.length);
    edited.setChosen(geometry.path.length - 1);
    announce(`${pathWords(name, geometry, around(geometry.chamber))}${also}`);
  };
  const drawn = useDraft(atrium, around, keep);
  const index = drawn.draft ? -1 : plan.lesions.findIndex((lesion, i) => !lesion.lesion && lit.has(`lesion:${i}`));
  const edited = usePoints(atrium, { plan, names, index, onAct, around });
  const adjust = (/** @type {number} */ at) => {
    const standard = atrium.lesion(plan.lesions[at]?.lesion);
    if (!standard) return;
    const path = thinned(standard.path, standard.closed, around(standard.chamber).shape.radius_mm);
    onAct(adjustLesion(at, { ...standard, path }));
    choose(at);
    edited.setChosen(0);
    announce(`${standard.name} is now drawn, with ${points(path.length)} to move.`);
  };
  const now = drawn.draft?.now;
  return {
    ...drawn, ...edited, around, keep, adjust, begin: (/** @type {boolean} */ ring) => { choose(-1); drawn.begin(ring); },
    edit: (/** @type {number} */ at) => { choose(lit.has(`lesion:${at}`) ? -1 : at); edited.setChosen(0); },
    removeAll: () => { onAct(removeLesion(index, names[index])); choose(-1); announce(`${names[index]} deleted.`); },
    /** The shown lesions with what is being drawn, as far as it is a lesion already. */
    lesions: now?.chamber && drawn.ready ? [...edited.shown, newDrawn(plan, { chamber: now.chamber, path: now.path, closed: now.closed })] : edited.shown,
  };
}

/** @type {Record<string, string>} keyed by right and up */
const ways = { "1 0": "right", "-1 0": "left", "0 1": "up", "0 -1": "down" };

/** The points of the chosen lesion: choosing, moving, adding and deleting them. @param {import("../model/atrium.js").Atrium} atrium @param {Editing} editing */
function usePoints(atrium, { plan, names, index, onAct, around }) {
  const [chosen, setChosen] = useState(0);
  const [dragging, setDragging] = useState(/** @type {{point: number, at: Api.Vec} | null} */ (null));
  const lesion = plan.lesions[index], chamber = lesion?.chamber, name = names[index] || "";
  const path = lesion?.path || [], closed = Boolean(lesion?.closed);
  const where = (/** @type {number} */ i, of = path) => (chamber ? `Point ${i + 1} of ${of.length}, ${whereabouts(of[i], around(chamber, index), isEnd(of, closed, i))}` : "");
  const settle = (/** @type {number} */ i, /** @type {Api.Vec} */ at) => (chamber && isEnd(path, closed, i) ? snapped(at, around(chamber, index)) : rounded(at));
  const moved = (/** @type {number} */ i, /** @type {Api.Vec} */ at) => path.map((old, k) => (k === i ? at : old));
  /** @param {number} i @param {Api.Vec} at @param {string} way what is said before where it lies now @param {boolean} stepwise */
  const moveTo = (i, at, way, stepwise) => {
    if (!chamber) return;
    const wrong = flaw(moved(i, at), closed, around(chamber).shape.radius_mm);
    if (wrong) return announce(`Not moved. ${wrong}`);
    onAct(movePoint(index, i, at, name, stepwise));
    announce(`${way}${where(i, moved(i, at))}`);
  };
  const nudge = (/** @type {number} */ i, /** @type {number} */ right, /** @type {number} */ up, /** @type {number} */ mm) => {
    const map = atrium.maps.find(one => one.shape.chamber === chamber);
    // A step of a key is as long as asked for; a joined end is said to be joined and the model carries it on.
    if (map && path[i]) moveTo(i, rounded(map.moved(path[i], right, up, mm)), `${mm} mm ${ways[`${right} ${up}`]}. `, true);
  };
  const add = (/** @type {number} */ i) => {
    const next = pointAfter(path, closed, i);
    onAct(addPoint(index, next.index, next.at, name));
    setChosen(next.index);
    announce(where(next.index, path.toSpliced(next.index, 0, next.at)));
  };
  const remove = (/** @type {number} */ i) => {
    if (path.length <= leastPoints(closed)) return announce(closed ? "A ring keeps three points." : "A line keeps two points. Delete the line instead.");
    onAct(deletePoint(index, i, name));
    setChosen(Math.max(0, i - 1));
    return announce(`Point ${i + 1} deleted. ${path.length - 1} points left.`);
  };
  /** The plan's lesions as they are being pulled. */
  const shown = dragging && lesion ? plan.lesions.map((one, i) => (i === index ? { ...one, path: moved(dragging.point, dragging.at) } : one)) : plan.lesions;
  return {
    edited: index, name, chamber, path: shown[index]?.path || path, closed, point: Math.min(chosen, path.length - 1), setChosen, where, nudge, add, remove, shown, dragging,
    choose: (/** @type {number} */ i) => { setChosen(i); announce(where(i)); },
    move: (/** @type {number} */ i, /** @type {Api.Vec} */ raw) => moveTo(i, settle(i, raw), "", false),
    drag: (/** @type {number} */ i, /** @type {Api.Vec} */ raw) => setDragging({ point: i, at: settle(i, raw) }), drop: () => setDragging(null),
  };
}

/** The other lesions of a chamber and its openings. @param {import("../model/atrium.js").Atrium} atrium @param {Api.Plan} plan @param {string[]} names
 * @param {Api.Chamber} chamber @param {number} except @returns {import("../model/draw.js").Surroundings} */
export function surroundings(atrium, plan, names, chamber, except) {
  const shape = atrium.facts.chambers.find(one => one.chamber === chamber) || atrium.facts.chambers[0];
  const others = plan.lesions.flatMap((lesion, i) => {
    const geometry = i === except ? undefined : atrium.geometry(lesion);
    return geometry?.chamber === chamber && geometry.path.length > 1 ? [{ name: names[i], path: geometry.path, closed: geometry.closed }] : [];
  });
  return { shape, appendage: plan.left_appendage.state, others };
}
