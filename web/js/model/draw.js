// The geometry of drawing by hand: what a point joins, how far it is from what is near, and the ways between two landmarks.
// Every length is one on the sphere, in mm of the chamber's own size; the map only shows them.
import { angle, between, cross, nearestOnArc, radians, towards, unit } from "./sphere.js";

/** How near the end of a line must come to an opening or another lesion to be joined to it: the conduction model's own rule. */
export const joinMM = 3;

/** @typedef {{path: Api.Vec[], closed: boolean, name: string}} OtherLesion a lesion of the same chamber */
/** @typedef {{shape: Api.ChamberShape, appendage: string, others: OtherLesion[]}} Surroundings */
/** @typedef {{name: string, at: Api.Vec, mm: number}} Nearest */

const stump = "left-appendage-stump";

/** The openings a line can end at; the ostium of a kept appendage is tissue. @param {Surroundings} around */
const openings = ({ shape, appendage }) => shape.openings.filter(opening => opening.obstacle !== stump || appendage !== "kept");

/** The arcs of a path. @param {Api.Vec[]} path @param {boolean} closed @returns {[Api.Vec, Api.Vec][]} */
function arcs(path, closed) {
  const ends = path.map(unit);
  if (closed && ends.length > 2) ends.push(ends[0]);
  return ends.slice(1).map((end, i) => [ends[i], end]);
}

/** The place nearest to a point on an opening's edge or on another lesion; inside an opening the distance is 0.
 * @param {Api.Vec} at @param {Surroundings} around @returns {Nearest | undefined} */
export function nearest(at, around) {
  const point = unit(at), radius = around.shape.radius_mm;
  /** @type {Nearest[]} */
  const found = openings(around).map(({ name, centre, radius_deg }) => {
    const away = angle(point, centre) - radians(radius_deg);
    return { name: `the ${name}`, at: towards(centre, point, radians(radius_deg)), mm: Math.max(0, away * radius) };
  });
  for (const { path, closed, name } of around.others) {
    for (const [a, b] of arcs(path, closed)) {
      const foot = nearestOnArc(point, a, b);
      found.push({ name, at: foot, mm: angle(point, foot) * radius });
    }
  }
  return found.reduce((/** @type {Nearest | undefined} */ best, one) => (best && best.mm <= one.mm ? best : one), undefined);
}

/** A point carried to what it joins, or left where it is. @param {Api.Vec} at @param {Surroundings} around @returns {Api.Vec} */
export function snapped(at, around) {
  const near = nearest(at, around);
  return rounded(near && near.mm <= joinMM ? near.at : at);
}

/** Where a point lies, in words. @param {Api.Vec} at @param {Surroundings} around @param {boolean} isEnd whether it is the end of a line, which can join */
export function whereabouts(at, around, isEnd) {
  const near = nearest(at, around);
  if (!near) return "";
  const distance = near.mm < 0.5 ? `at ${near.name}` : `${Math.round(near.mm)} mm from ${near.name}`;
  if (!isEnd) return distance;
  return near.mm <= joinMM ? `${distance}, joined` : `${distance}, not joined`;
}

/** @param {Api.Vec[]} path @param {boolean} closed @param {number} radiusMM */
export const lengthMM = (path, closed, radiusMM) => arcs(path, closed).reduce((sum, [a, b]) => sum + angle(a, b), 0) * radiusMM;

/** @param {Api.Vec[]} path @param {boolean} closed @param {number} index whether this point is the end of a line */
export const isEnd = (path, closed, index) => !closed && (index === 0 || index === path.length - 1);

/** The least points a line and a ring need. @param {boolean} closed */
export const leastPoints = closed => (closed ? 3 : 2);

/** A place for a new point after this one: half-way to the next, and before the last one of a line.
 * @param {Api.Vec[]} path @param {boolean} closed @param {number} index @returns {{index: number, at: Api.Vec}} */
export function pointAfter(path, closed, index) {
  const from = !closed && index === path.length - 1 ? index - 1 : index;
  return { index: from + 1, at: rounded(between(unit(path[from]), unit(path[(from + 1) % path.length]), 0.5)) };
}

/** @typedef {{id: string, name: string, centre: Api.Vec, edge: number}} Landmark edge: how far from its centre a line ends, radians */

/** Where a line can begin and end: openings, and the ends of other lines. @param {Surroundings} around @returns {Landmark[]} */
export function landmarks(around) {
  const ends = around.others.flatMap(({ name, path, closed }) => (closed || path.length < 2 ? [] : [
    { id: `${name} start`, name: `start of ${name}`, centre: path[0], edge: 0 },
    { id: `${name} end`, name: `end of ${name}`, centre: path[path.length - 1], edge: 0 },
  ]));
  return [...openings(around).map(one => ({ id: one.obstacle, name: one.name, centre: one.centre, edge: radians(one.radius_deg) })), ...ends];
}

/** The ways from one landmark to another. */
export const routes = [{ id: "straight", name: "Straight" }, { id: "left", name: "Bowed to its left" }, { id: "right", name: "Bowed to its right" }];

/** How far a bowed way stands off the straight one in the middle, as a share of its length. */
const bow = 0.3;

/** The way between two landmarks, seen from outside the chamber for left and right. @param {Landmark} from @param {Landmark} to @param {string} route
 * @returns {Api.Vec[]} */
export function wayBetween(from, to, route) {
  const start = unit(from.centre), end = unit(to.centre);
  const first = towards(start, end, from.edge), last = towards(end, start, to.edge);
  const middle = between(first, last, 0.5);
  if (route === "straight") return (angle(first, last) > 2 ? [first, middle, last] : [first, last]).map(rounded);
  const left = unit(cross(middle, last));
  const side = /** @type {Api.Vec} */ (route === "left" ? left : left.map(part => -part));
  const aside = towards(middle, side, Math.max(0.12, bow * angle(first, last)));
  return [towards(start, aside, from.edge), aside, towards(end, aside, to.edge)].map(rounded);
}

/** Directions are sent with five decimals: 0.0003 mm. @param {Api.Vec} at @returns {Api.Vec} */
export function rounded(at) {
  const part = (/** @type {0 | 1 | 2} */ i) => Math.round(unit(at)[i] * 1e5) / 1e5 || 0;
  return [part(0), part(1), part(2)];
}
