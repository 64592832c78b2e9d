// Drawing on the map: the path being drawn with its own undo, the point chosen, and the point being dragged.
import { useEffect, useRef, useState } from "preact/hooks";
import { addLesion, removeLesion } from "../acts/lesions.js";
import { addPoint, adjustLesion, deletePoint, emptyDraft, movePoint, placePoint } from "../acts/drawing.js";
import { History } from "../acts/history.js";
import { announce } from "../lib/announce.js";
import { plain } from "../lib/numbers.js";
import { isEnd, leastPoints, lengthMM, pointAfter, rounded, snapped, whereabouts } from "../model/draw.js";
import { newDrawn } from "../model/plan-draft.js";

/** @typedef {import("../acts/drawing.js").Draft} Draft */
/** @typedef {ReturnType<typeof useDrawing>} Drawing */

/**
 * @param {import("../model/atrium.js").Atrium} atrium @param {Api.Plan} plan @param {(act: import("../acts/history.js").Act<any>) => void} onAct
 * @param {Set<string>} lit @param {(lit: Set<string>) => void} setLit
 */
export function useDrawing(atrium, plan, onAct, lit, setLit) {
  const [draft, setDraft] = useState(/** @type {History<Draft> | null} */ (null));
  const [chosen, setChosen] = useState(0);
  const [drag, setDrag] = useState(/** @type {{point: number, at: Api.Vec} | null} */ (null));
  const names = atrium.namesOf(plan.lesions);
  const edited = draft ? -1 : plan.lesions.findIndex((lesion, i) => !lesion.lesion && lit.has(`lesion:${i}`));
  const lesion = plan.lesions[edited];
  const path = lesion?.path || [], closed = Boolean(lesion?.closed), point = Math.min(chosen, path.length - 1);
  const around = (/** @type {Api.Chamber} */ chamber, except = -1) => surroundings(atrium, plan, names, chamber, except);
  const settle = (/** @type {Api.Chamber} */ chamber, /** @type {Api.Vec} */ at, /** @type {boolean} */ end, except = -1) => (end ? snapped(at, around(chamber, except)) : rounded(at));
  const where = (/** @type {number} */ i, of = path) => lesion?.chamber ? `Point ${i + 1} of ${of.length}, ${whereabouts(of[i], around(lesion.chamber, edited), isEnd(of, closed, i))}` : "";
  const begin = (/** @type {boolean} */ ring) => {
    setLit(new Set());
    setDraft(new History(emptyDraft(ring)));
    announce(ring ? "Drawing a ring. Tap the map for each point, then finish." : "Drawing a line. Tap the map for each point, then finish.");
  };
  const cancel = () => { setDraft(null); announce("Drawing cancelled. Nothing was added."); };
  /** Adds a finished path to the plan and chooses it. @param {{chamber: Api.Chamber, path: Api.Vec[], closed: boolean}} geometry */
  const keep = geometry => {
    const name = atrium.namesOf([...plan.lesions, {}])[plan.lesions.length];
    const radius = atrium.facts.chambers.find(one => one.chamber === geometry.chamber)?.radius_mm || 0;
    onAct(addLesion(newDrawn(plan, geometry), name));
    setDraft(null);
    setLit(new Set([`lesion:${plan.lesions.length}`]));
    setChosen(geometry.path.length - 1);
    const ends = geometry.closed ? "" : ` From ${whereabouts(geometry.path[0], around(geometry.chamber), true)}, to ${whereabouts(geometry.path[geometry.path.length - 1], around(geometry.chamber), true)}.`;
    announce(`${name} added: ${geometry.closed ? "a ring" : "a line"} of ${geometry.path.length} points, ${plain(lengthMM(geometry.path, geometry.closed, radius), 0)} mm.${ends}`);
  };
  const now = draft?.now;
  const ready = Boolean(now?.chamber && now.path.length >= leastPoints(now.closed));
  const finish = () => {
    if (now?.chamber && ready) keep({ chamber: now.chamber, path: now.path, closed: now.closed });
    else announce(now?.closed ? "A ring needs three points." : "A line needs two points.");
  };
  const place = (/** @type {Api.Chamber} */ chamber, /** @type {Api.Vec} */ raw) => {
    if (!draft) return;
    if (draft.now.chamber && draft.now.chamber !== chamber) return announce("A line stays in the chamber of its first point.");
    const at = settle(chamber, raw, !draft.now.closed), last = draft.now.path[draft.now.path.length - 1];
    if (last && lengthMM([last, at], false, around(chamber).shape.radius_mm) < 1.5) return undefined; // pressed again to pull on from there
    setDraft(draft.after(placePoint(chamber, at)));
    return announce(`Point ${draft.now.path.length + 1}, ${whereabouts(at, around(chamber), !draft.now.closed)}`);
  };
  const move = (/** @type {number} */ i, /** @type {Api.Vec} */ raw, stepwise = false) => {
    if (!lesion?.chamber) return;
    // A step of a key is as long as asked for; a joined end is said to be joined and the model carries it on.
    const at = stepwise ? rounded(raw) : settle(lesion.chamber, raw, isEnd(path, closed, i), edited);
    onAct(movePoint(edited, i, at, names[edited], stepwise));
    announce(where(i, path.map((old, k) => (k === i ? at : old))));
  };
  const nudge = (/** @type {number} */ i, /** @type {number} */ right, /** @type {number} */ up, /** @type {number} */ mm) => {
    const map = atrium.maps.find(one => one.shape.chamber === lesion?.chamber);
    if (map && path[i]) move(i, map.moved(path[i], right, up, mm), true);
  };
  const add = (/** @type {number} */ i) => {
    const next = pointAfter(path, closed, i);
    onAct(addPoint(edited, next.index, next.at, names[edited]));
    setChosen(next.index);
    announce(where(next.index, path.toSpliced(next.index, 0, next.at)));
  };
  const remove = (/** @type {number} */ i) => {
    if (path.length <= leastPoints(closed)) return announce(closed ? "A ring keeps three points." : "A line keeps two points. Delete the line instead.");
    onAct(deletePoint(edited, i, names[edited]));
    setChosen(Math.max(0, i - 1));
    return announce(`Point ${i + 1} deleted. ${path.length - 1} points left.`);
  };
  const removeAll = () => { onAct(removeLesion(edited, names[edited])); setLit(new Set()); announce(`${names[edited]} deleted.`); };
  const adjust = (/** @type {number} */ index) => {
    const standard = atrium.lesion(plan.lesions[index]?.lesion);
    if (!standard) return;
    onAct(adjustLesion(index, standard));
    setLit(new Set([`lesion:${index}`]));
    setChosen(0);
    announce(`${standard.name} is now drawn, with ${standard.path.length} points to move.`);
  };
  const edit = (/** @type {number} */ index) => { setLit(new Set(lit.has(`lesion:${index}`) ? [] : [`lesion:${index}`])); setChosen(0); };
  const choose = (/** @type {number} */ i) => { setChosen(i); announce(where(i)); };
  const shown = drag && lesion ? plan.lesions.map((one, i) => (i === edited ? { ...one, path: path.map((old, k) => (k === drag.point ? drag.at : old)) } : one)) : plan.lesions;
  useDrawingKeys(Boolean(draft), finish, cancel);
  return {
    draft, ready, begin, cancel, finish, place, keep, edited, name: names[edited] || "", chamber: lesion?.chamber, path: shown[edited]?.path || path, closed, point, choose, move, nudge, add, remove,
    removeAll, adjust, edit, where, around, drag: (/** @type {number} */ i, /** @type {Api.Vec} */ at) => setDrag({ point: i, at: lesion?.chamber ? settle(lesion.chamber, at, isEnd(path, closed, i), edited) : at }),
    drop: () => setDrag(null), dragging: drag,
    undo: () => { if (draft?.undoes) { setDraft(draft.undone()); announce("Undone: place the point"); return true; } return false; },
    redo: () => { if (draft?.redoes) { setDraft(draft.redone()); announce("Done again: place the point"); return true; } return false; },
    /** The plan's lesions as they are being pulled. */
    shown,
    /** The same with what is being drawn, as far as it is a lesion already. */
    lesions: now?.chamber && ready ? [...shown, newDrawn(plan, { chamber: now.chamber, path: now.path, closed: now.closed })] : shown,
  };
}

/** The other lesions of a chamber and its openings. @param {import("../model/atrium.js").Atrium} atrium @param {Api.Plan} plan @param {string[]} names
 * @param {Api.Chamber} chamber @param {number} except @returns {import("../model/draw.js").Surroundings} */
function surroundings(atrium, plan, names, chamber, except) {
  const shape = atrium.facts.chambers.find(one => one.chamber === chamber) || atrium.facts.chambers[0];
  const others = plan.lesions.flatMap((lesion, i) => {
    const geometry = i === except ? undefined : atrium.geometry(lesion);
    return geometry?.chamber === chamber && geometry.path.length > 1 ? [{ name: names[i], path: geometry.path, closed: geometry.closed }] : [];
  });
  return { shape, appendage: plan.left_appendage.state, others };
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
