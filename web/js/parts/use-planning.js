// A plan in work: its acts with undo, what is lit on the map, and the drawing.
import { useRef, useState } from "preact/hooks";
import { History } from "../acts/history.js";
import { announce } from "../lib/announce.js";
import { choosesLesions } from "../model/plan-draft.js";
import { useDrawing } from "./use-drawing.js";
import { useUndoKeys } from "./use-undo-keys.js";

/** @typedef {ReturnType<typeof usePlanning>} Planning */

/** @param {import("../model/atrium.js").Atrium} atrium @param {string[]} asks what the scenario asks for @param {Api.Plan} start */
export function usePlanning(atrium, asks, start) {
  const [history, live] = useHistory(start);
  const [lit, setLit] = useState(/** @type {Set<string>} */ (new Set()));
  const plan = history.now;
  const drawn = useDrawing(atrium, plan, live.act, lit, setLit);
  const pen = choosesLesions(plan, asks) ? drawn : undefined;
  const undo = () => { if (!pen?.undo()) live.undo(); };
  const redo = () => { if (!pen?.redo()) live.redo(); };
  useUndoKeys(undo, redo);
  return {
    plan, act: live.act, lit, drawn, pen, undo, redo,
    /** A line not finished is not in the plan. */
    drawing: Boolean(pen?.draft),
    undoes: pen?.draft?.undoes || history.undoes, redoes: pen?.draft?.redoes || history.redoes,
    pick: (/** @type {string} */ key) => setLit(before => (before.has(key) ? new Set() : new Set([key]))),
  };
}

/**
 * A plan with its undo. Keys can come faster than the page is drawn anew, so that each act builds on the last and not on the page.
 * @param {Api.Plan} start @returns {[History<Api.Plan>, {act: (one: import("../acts/history.js").Act<Api.Plan>) => void, undo: () => void, redo: () => void}]}
 */
export function useHistory(start) {
  const [history, show] = useState(() => new History(start));
  const now = useRef(history);
  const to = (/** @type {History<Api.Plan>} */ next) => { now.current = next; show(next); };
  const undo = () => { const { undoes } = now.current; announce(undoes ? `Undone: ${undoes}` : "There is nothing to undo."); to(now.current.undone()); };
  const redo = () => { const { redoes } = now.current; announce(redoes ? `Done again: ${redoes}` : "There is nothing to do again."); to(now.current.redone()); };
  return [history, { act: one => to(now.current.after(one)), undo, redo }];
}
