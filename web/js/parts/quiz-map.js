// A question on the map: a place, a line or a ring is put on one chamber by mouse, touch or keys; and afterwards what was drawn beside what is right.
import { useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { html } from "../lib/html.js";
import { isEnd, rounded, whereabouts } from "../model/draw.js";
import { lengthMM } from "../model/path.js";
import { AtrialMap } from "./atrial-map.js";
import { DrawActs, DrawBar } from "./draw-bar.js";
import { useAtrium } from "./use-atrium.js";
import { points } from "./use-draft.js";
import { useDrawing } from "./use-drawing.js";
import { Show } from "./waiting.js";

/** @typedef {import("../model/atrium.js").Atrium} Atrium */

/** What lies on the map, as the drawing tools take it. @param {Api.QuizMap} task @param {Api.Vec[][]} paths @returns {Api.Plan} */
const planOf = (task, paths) => ({
  ablate: true, left_appendage: { state: task.shown.left_appendage || "kept" },
  lesions: [...task.shown.lesions, ...paths.map(path => ({ chamber: task.chamber, path, closed: task.draw === "ring" }))],
});

/** @param {Api.QuizMap} task */
const useChambers = task => useAtrium(task.shown.left_atrium_diameter_mm || undefined, task.shown.right_atrium_diameter_mm || undefined);

/** @param {{task: Api.QuizMap, path: Api.Vec[], onPath: (path: Api.Vec[]) => void, label?: string}} props label: what the drawing is, for whoever hears the page */
export function MapAsked({ task, path, onPath, label = "Your answer" }) {
  const atrium = useChambers(task);
  const Way = task.draw === "point" ? PutPoint : PutPath;
  return html`<section class="quiz-map" aria-label=${label}><${Show} of=${atrium} what="the map">${(/** @type {Atrium} */ shape) => html`<${Way} atrium=${shape} task=${task} path=${path} onPath=${onPath} />`}<//></section>`;
}

/** @typedef {{atrium: Atrium, task: Api.QuizMap, path: Api.Vec[], onPath: (path: Api.Vec[]) => void}} PutProps */

/** One place: each tap moves it there. The map is without names, as these can be what is asked; they are said to whoever steers by ear. @param {PutProps} props */
function PutPoint({ atrium, task, path, onPath }) {
  const { chamber } = task, map = atrium.maps.find(one => one.shape.chamber === chamber);
  const [cross, setCross] = useState(/** @type {Api.Vec | undefined} */ (path[0]));
  const here = cross || map?.middle || /** @type {Api.Vec} */ ([0, 0, 1]), around = aroundOf(atrium, task);
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
    <p class="draw-hint">Tap the place on the map. With keys: go to the cross, move it with the arrow keys, and put the place with Enter.</p>
    <div class="bar"><button type="button" class="quiet" disabled=${path.length === 0} onClick=${pen.undo}>Take it away</button></div>
    <p role="status">${path[0] ? "The place is put." : "No place is put yet."}</p>`;
}

/** A line or a ring: drawn, then its points moved. @param {PutProps} props */
function PutPath({ atrium, task, path, onPath }) {
  const ring = task.draw === "ring", index = task.shown.lesions.length, plan = planOf(task, path.length > 0 ? [path] : []);
  const [lit, setLit] = useState(/** @type {Set<string>} */ (new Set()));
  const onAct = (/** @type {import("../acts/history.js").Act<any>} */ act) => {
    const lesions = /** @type {Api.Lesion[]} */ (act.apply(plan).lesions);
    onPath((lesions.length > index && lesions[lesions.length - 1].path) || []); // the one drawn last takes the place of the one before
  };
  const pen = useDrawing(atrium, plan, onAct, lit, lights => setLit(new Set([...lights].filter(() => path.length > 0).map(() => `lesion:${index}`))));
  return html`<div class="map-stick"><${AtrialMap} atrium=${atrium} lesions=${pen.shown} appendage=${plan.left_appendage.state} lit=${lit} pen=${pen} only=${task.chamber}
      onPick=${(/** @type {string} */ key) => { if (key === `lesion:${index}`) setLit(lit.size > 0 ? new Set() : new Set([key])); }} />
    <${DrawActs} drawing=${pen} /></div>
    <${DrawBar} atrium=${atrium} drawing=${pen} only=${ring ? "ring" : "line"} again=${path.length > 0} />
    <p role="status">${path.length > 0 ? `Drawn: ${inWords(atrium, task, path)}.` : `No ${ring ? "ring" : "line"} is drawn yet.`}</p>`;
}

/** What a drawn end can join, and how far things are. @param {Atrium} atrium @param {Api.QuizMap} task @returns {import("../model/draw.js").Surroundings} */
const aroundOf = (atrium, task) => ({
  shape: atrium.facts.chambers.find(one => one.chamber === task.chamber) || atrium.facts.chambers[0], appendage: task.shown.left_appendage || "kept", others: [],
});

/** A drawing in words. @param {Atrium} atrium @param {Api.QuizMap} task @param {Api.Vec[]} path */
function inWords(atrium, task, path) {
  const around = aroundOf(atrium, task), ring = task.draw === "ring";
  if (path.length === 1) return whereabouts(path[0], around, false);
  const end = (/** @type {number} */ i) => whereabouts(path[i], around, isEnd(path, ring, i));
  const length = Math.round(lengthMM(path, ring, around.shape.radius_mm));
  return `a ${ring ? "ring" : "line"} of ${points(path.length)}, ${length} mm${ring ? "" : `, from ${end(0)}, to ${end(path.length - 1)}`}`;
}

/** What was drawn, and a drawing that is right, on one map and in words. @param {{task: Api.QuizMap, path: Api.Vec[], right: Api.Vec[]}} props */
export function MapTold({ task, path, right }) {
  const atrium = useChambers(task);
  const [lit, setLit] = useState(/** @type {Set<string>} */ (new Set()));
  const both = [{ name: "Your answer", path }, { name: task.draw === "point" ? "A place that is right" : "A drawing that is right", path: right }].filter(one => one.path.length > 0);
  const lines = both.filter(one => one.path.length > 1), key = (/** @type {any} */ one) => (one.path.length > 1 ? `lesion:${task.shown.lesions.length + lines.indexOf(one)}` : one.name);
  const marks = both.map((one, i) => ({ key: key(one), number: i + 1, says: one.name, name: `${i + 1}: ${one.name}`, chamber: task.chamber, at: one.path[Math.floor(one.path.length / 2)] }));
  return html`<div class="quiz-map"><${Show} of=${atrium} what="the map">${(/** @type {Atrium} */ shape) => html`
    <${AtrialMap} atrium=${shape} lesions=${planOf(task, lines.map(one => one.path)).lesions} appendage=${task.shown.left_appendage || "kept"} marks=${marks} lit=${lit} only=${task.chamber}
      onPick=${(/** @type {string} */ picked) => setLit(lit.has(picked) ? new Set() : new Set([picked]))} />
    <ol class="map-words">${both.map(one => html`<li><span class="strong">${one.name}:</span> ${inWords(shape, task, one.path)}.</li>`)}</ol>`}<//></div>`;
}
