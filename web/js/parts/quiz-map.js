// A question on the map: a place, a line or a ring is put on one chamber by mouse, touch or keys; and afterwards what was drawn beside what is right.
import { useEffect, useLayoutEffect, useMemo, useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { catalogue } from "../lib/catalogue.js";
import { html } from "../lib/html.js";
import { isEnd, rounded, whereabouts } from "../model/draw.js";
import { lengthMM } from "../model/path.js";
import { AtrialMap } from "./atrial-map.js";
import { DrawActs, DrawBar } from "./draw-bar.js";
import { useAtrium } from "./use-atrium.js";
import { points } from "./use-draft.js";
import { surroundings, useDrawing } from "./use-drawing.js";
import { useHistory } from "./use-planning.js";
import { useUndoKeys } from "./use-undo-keys.js";
import { Show } from "./waiting.js";

/** @typedef {import("../model/atrium.js").Atrium} Atrium */
/** @template D @typedef {import("../acts/history.js").Act<D>} Act */

/** How an answer and what is right look on the map. */
const own = "own-answer", asRight = "right-answer";

/** What lies on the map, as the drawing tools take it. @param {Api.QuizMap} task @param {Api.Vec[][]} paths @returns {Api.Plan} */
const planOf = (task, paths) => ({
  ablate: true, left_appendage: { state: task.shown.left_appendage || "kept" },
  lesions: [...task.shown.lesions, ...paths.map(path => ({ chamber: task.chamber, path, closed: task.draw === "ring" }))],
});

/** Lesions told from those that were there: an answer is a solid line of its own colour, what is right a dashed one.
 * @param {Api.Lesion[]} lesions @param {number} there how many were @param {string[]} looks of the others, in order @returns {Api.Lesion[]} */
const drawnAs = (lesions, there, looks) => lesions.map((one, i) => (i < there ? one : { ...one, energy: /** @type {any} */ (looks[i - there]) }));

/** The sizes of a task's atria. @param {Api.QuizMap} task @returns {[number | undefined, number | undefined]} */
const sizes = ({ shown }) => [shown.left_atrium_diameter_mm || undefined, shown.right_atrium_diameter_mm || undefined];

/** Reads the maps that a set of questions needs, before one is asked: the connection can be lost by then. @param {Api.QuizPlace[]} places */
export function readMaps(places) {
  for (const { question } of places) if (question.map) catalogue(...sizes(question.map)).catch(() => {}); // the question says so when it is asked
}

/** The chamber of a task, ready to draw. @param {Api.QuizMap} task @returns {import("../lib/resource.js").Resource<Atrium>} */
function useChamber(task) {
  const both = useAtrium(...sizes(task));
  const data = useMemo(() => both.data?.only(task.chamber), [both.data, task.chamber]);
  return { ...both, data };
}

/** @param {{task: Api.QuizMap, path: Api.Vec[], onPath: (path: Api.Vec[]) => void, label?: string}} props label: what the drawing is, for whoever hears the page */
export function MapAsked({ task, path, onPath, label = "Your answer" }) {
  const atrium = useChamber(task);
  const Way = task.draw === "point" ? PutPoint : PutPath;
  return html`<section class="quiz-map" aria-label=${label}><${Show} of=${atrium} what="the map">${(/** @type {Atrium} */ shape) => html`<${Way} key=${`${task.chamber} ${task.draw}`} atrium=${shape} task=${task} path=${path} onPath=${onPath} />`}<//></section>`;
}

/** @typedef {{atrium: Atrium, task: Api.QuizMap, path: Api.Vec[], onPath: (path: Api.Vec[]) => void}} PutProps */

/** One place: each tap moves it there. The map is without names, as these can be what is asked; they are said to whoever steers by ear. @param {PutProps} props */
function PutPoint({ atrium, task, path, onPath }) {
  const { chamber } = task, map = atrium.maps.find(one => one.shape.chamber === chamber);
  const [cross, setCross] = useState(/** @type {Api.Vec | undefined} */ (path[0]));
  const here = cross || map?.middle || /** @type {Api.Vec} */ ([0, 0, 1]), around = aroundOf(atrium, task), { shape } = around;
  const put = (/** @type {Api.Vec} */ raw) => {
    const at = rounded(raw);
    setCross(at);
    onPath([at]);
    announce(`The place is put ${whereabouts(at, around, false)}.`);
    return true;
  };
  const pen = /** @type {any} */ ({
    draft: { now: { chamber, path, closed: false } }, edited: -1, crossOf: () => here, ready: false, finish: () => {},
    place: (/** @type {Api.Chamber} */ _, /** @type {Api.Vec} */ at) => put(at), pull: (/** @type {Api.Chamber} */ _, /** @type {Api.Vec[]} */ trail) => put(trail[trail.length - 1]),
    steer: (/** @type {Api.Chamber} */ _, /** @type {number} */ right, /** @type {number} */ up, /** @type {number} */ mm) => {
      const at = rounded(map?.moved(here, right, up, mm) || here);
      setCross(at);
      announce(whereabouts(at, around, false));
    },
    sayWhere: () => announce(whereabouts(here, around, false)),
    undo: () => { onPath([]); announce("The place is taken away."); return true; },
  });
  return html`<${AtrialMap} atrium=${atrium} lesions=${task.shown.lesions} appendage=${task.shown.left_appendage || "kept"} pen=${pen} only=${chamber} unnamed />
    <p class="draw-hint">Tap the place on the map. The ${shape.name.toLowerCase()} is seen from behind, its rim is the ${map?.valve?.name || "valve"}. With keys: go to the cross, move it with the arrow keys, and put the place with Enter.</p>
    <div class="bar"><button type="button" class="quiet" disabled=${path.length === 0} onClick=${pen.undo}>Take it away</button></div>
    <p role="status">${path[0] ? "The place is put." : "No place is put yet."}</p>`;
}

/** A line or a ring: drawn, then its points moved. @param {PutProps} props */
function PutPath({ atrium, task, path, onPath }) {
  const ring = task.draw === "ring", what = ring ? "ring" : "line", index = task.shown.lesions.length, bare = planOf(task, []);
  const [history, live] = useHistory(planOf(task, path.length > 0 ? [path] : []));
  const [lit, setLit] = useState(/** @type {Set<string>} */ (new Set()));
  const [drafting, setDrafting] = useState(false);
  const mine = history.now.lesions[index]?.path || [], chosen = lit.size > 0, choose = (/** @type {boolean} */ on) => setLit(new Set(on ? [`lesion:${index}`] : []));
  const onAct = (/** @type {Act<Api.Plan>} */ act) => live.act({ ...act, apply: before => {
    const after = act.apply(before);
    return after === before ? before : { ...after, lesions: [...bare.lesions, ...after.lesions.slice(index).slice(-1)] }; // the one drawn last takes the place of the one before
  } });
  // While another is drawn, the one before is not there to be joined.
  const pen = useDrawing(atrium, drafting ? bare : history.now, onAct, lit, lights => choose(lights.size > 0));
  const open = Boolean(pen.draft), undo = () => { if (!pen.undo()) live.undo(); }, redo = () => { if (!pen.redo()) live.redo(); };
  useUndoKeys(undo, redo);
  useLayoutEffect(() => setDrafting(open), [open]);
  useEffect(() => { if (mine.join() !== path.join()) onPath(mine); }, [history.now]);
  return html`<div class="map-stick"><${AtrialMap} atrium=${atrium} lesions=${drawnAs(pen.shown, index, [own])} appendage=${bare.left_appendage.state} lit=${lit} pen=${pen} only=${task.chamber}
      onPick=${(/** @type {string} */ key) => { if (key === `lesion:${index}`) choose(!chosen); }} />
    <${DrawActs} drawing=${pen} /></div>
    <${DrawBar} atrium=${atrium} drawing=${pen} only=${what} again=${mine.length > 0} />
    ${!open && (mine.length > 0 || history.undoes) && html`<div class="bar">
      ${mine.length > 0 && !chosen && html`<button type="button" class="quiet" onClick=${() => choose(true)}>Move its points</button>`}
      <button type="button" class="quiet" disabled=${!history.undoes} onClick=${undo}>Undo</button></div>`}
    <p role="status">${mine.length > 0 ? `Drawn: ${inWords(atrium, task, mine)}.` : `No ${what} is drawn yet.`}</p>`;
}

/** What a drawn end can join, and how far things are. @param {Atrium} atrium @param {Api.QuizMap} task */
function aroundOf(atrium, task) {
  const shown = planOf(task, []);
  return surroundings(atrium, shown, atrium.namesOf(shown.lesions), task.chamber, -1);
}

/** A drawing in words. @param {Atrium} atrium @param {Api.QuizMap} task @param {Api.Vec[]} path */
function inWords(atrium, task, path) {
  const around = aroundOf(atrium, task), ring = task.draw === "ring", drawn = task.draw !== "point"; // a course that a place can lie on joins nothing
  if (path.length === 1) return whereabouts(path[0], around, false);
  const end = (/** @type {number} */ i) => whereabouts(path[i], around, drawn && isEnd(path, ring, i));
  const length = Math.round(lengthMM(path, ring, around.shape.radius_mm));
  return `a ${ring ? "ring" : "line"} of ${points(path.length)}, ${length} mm${ring ? "" : `, from ${end(0)}, to ${end(path.length - 1)}`}`;
}

/** What was drawn, and a drawing that is right, on one map and in words. @param {{task: Api.QuizMap, path: Api.Vec[], right: Api.Vec[]}} props */
export function MapTold({ task, path, right }) {
  const atrium = useChamber(task);
  const [lit, setLit] = useState(/** @type {Set<string>} */ (new Set()));
  const what = task.draw !== "point" ? "A drawing that is right" : right.length > 1 ? "Any place along here is right" : "A place that is right";
  const both = [{ name: "Your answer", look: own, path }, { name: what, look: asRight, path: right }].filter(one => one.path.length > 0);
  const lines = both.filter(one => one.path.length > 1), key = (/** @type {any} */ one) => (one.path.length > 1 ? `lesion:${task.shown.lesions.length + lines.indexOf(one)}` : one.name);
  const marks = both.map((one, i) => ({ key: key(one), number: i + 1, says: one.name, name: `${i + 1}: ${one.name}`, chamber: task.chamber, at: one.path[Math.floor(one.path.length / 2)] }));
  return html`<div class="quiz-map"><${Show} of=${atrium} what="the map">${(/** @type {Atrium} */ shape) => html`
    <${AtrialMap} atrium=${shape} lesions=${drawnAs(planOf(task, lines.map(one => one.path)).lesions, task.shown.lesions.length, lines.map(one => one.look))} appendage=${task.shown.left_appendage || "kept"} marks=${marks} lit=${lit} only=${task.chamber}
      onPick=${(/** @type {string} */ picked) => setLit(lit.has(picked) ? new Set() : new Set([picked]))} />
    <ol class="map-words">${both.map(one => html`<li>${one.path.length > 1 && html`<svg viewBox="0 0 34 12" aria-hidden="true" class="lesion"><path class=${`stroke ${one.look}`} d="M3 6h28" /></svg> `}<span class="strong">${one.name}:</span> ${inWords(shape, task, one.path)}.</li>`)}</ol>`}<//></div>`;
}
