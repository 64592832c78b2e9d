// The geometry of drawing by hand: what a point joins, and how far it is from what is near.
// Every length is one on the sphere, in mm of the chamber's own size; the map only shows them.
import { arcs } from "./path.js";
import { angle, between, nearestOnArc, radians, towards, unit } from "./sphere.js";

/** How near the end of a line must come to an opening or another lesion to be joined to it: the conduction model's own rule. */
export const joinMM = 3;

/** @typedef {{path: Api.Vec[], closed: boolean, name: string}} OtherLesion a lesion of the same chamber */
/** @typedef {{shape: Api.ChamberShape, appendage: string, others: OtherLesion[]}} Surroundings */
/** @typedef {{name: string, at: Api.Vec, mm: number}} Nearest */

const stump = "left-appendage-stump";

/** The openings a line can end at; the ostium of a kept appendage is tissue. @param {Surroundings} around */
export const openings = ({ shape, appendage }) => shape.openings.filter(opening => opening.obstacle !== stump || appendage !== "kept");

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

/** @param {Api.Vec[]} path @param {boolean} closed @param {number} index whether this point is the end of a line */
export const isEnd = (path, closed, index) => !closed && (index === 0 || index === path.length - 1);

/** A place for a new point after this one: half-way to the next, and before the last one of a line.
 * @param {Api.Vec[]} path @param {boolean} closed @param {number} index @returns {{index: number, at: Api.Vec}} */
export function pointAfter(path, closed, index) {
  const from = !closed && index === path.length - 1 ? index - 1 : index;
  return { index: from + 1, at: rounded(between(unit(path[from]), unit(path[(from + 1) % path.length]), 0.5)) };
}

/** Directions are sent with five decimals: 0.0003 mm. @param {Api.Vec} at @returns {Api.Vec} */
export function rounded(at) {
  const part = (/** @type {0 | 1 | 2} */ i) => Math.round(unit(at)[i] * 1e5) / 1e5 || 0;
  return [part(0), part(1), part(2)];
}
