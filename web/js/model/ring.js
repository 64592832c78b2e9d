// Rings round openings, and what a ring goes round.
import { rounded } from "./draw.js";
import { thinned } from "./path.js";
import { angle, circle, cross, dot, fine, radians, unit } from "./sphere.js";

/** How far outside the openings a placed ring runs, in degrees: that of the standard rings round the veins. */
const marginDeg = 6;

/** A ring wider than this about its middle would come back on the far side of the chamber. */
const widestDeg = 80;

/**
 * The shortest ring that keeps clear of the openings by the margin: their hull of great-circle arcs.
 * @param {Api.Opening[]} openings @param {number} radiusMM
 * @returns {Api.Vec[] | undefined} nothing where they lie too far apart for one ring
 */
export function ringRound(openings, radiusMM) {
  if (openings.length === 0) return undefined;
  const rim = openings.flatMap(({ centre, radius_deg }) => circle(centre, radians(radius_deg + marginDeg), 36));
  const middle = middleOf(openings.map(({ centre }) => centre));
  if (rim.some(at => angle(at, middle) > radians(widestDeg))) return undefined;
  const right = unit(cross(middle, Math.abs(middle[1]) < 0.9 ? [0, 1, 0] : [1, 0, 0])), up = cross(right, middle);
  // in this projection, and in no other, great circles are straight
  const flat = rim.map(at => /** @type {[number, number]} */ ([dot(at, right) / dot(at, middle), dot(at, up) / dot(at, middle)]));
  const ring = hull(flat).map(([x, y]) => unit([middle[0] + x * right[0] + y * up[0], middle[1] + x * right[1] + y * up[1], middle[2] + x * right[2] + y * up[2]]));
  return thinned(ring, true, radiusMM).map(rounded);
}

/** @param {Api.Vec[]} points @returns {Api.Vec} */
const middleOf = points => unit(points.reduce((sum, at) => { const v = unit(at); return [sum[0] + v[0], sum[1] + v[1], sum[2] + v[2]]; }, /** @type {Api.Vec} */ ([0, 0, 0])));

/** The convex hull of points of a plane (Andrew, 1979), anticlockwise. @param {[number, number][]} points @returns {[number, number][]} */
function hull(points) {
  const sorted = [...points].sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  const chain = (/** @type {[number, number][]} */ all) => {
    /** @type {[number, number][]} */
    const out = [];
    for (const p of all) {
      while (out.length > 1 && turn(out[out.length - 2], out[out.length - 1], p) <= 0) out.pop();
      out.push(p);
    }
    return out.slice(0, -1);
  };
  return [...chain(sorted), ...chain(sorted.reverse())];
}

/** @param {[number, number]} a @param {[number, number]} b @param {[number, number]} c above 0 when a to b to c turns left */
const turn = (a, b, c) => (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);

/** Which openings a ring goes round and which it crosses. @param {Api.Vec[]} ring @param {Api.Opening[]} openings */
export function within(ring, openings) {
  const parts = openings.map(opening => {
    const points = circle(opening.centre, radians(opening.radius_deg) * 0.98, 24);
    return { opening, inside: points.filter(at => inside(at, ring)).length, of: points.length };
  });
  return {
    round: parts.filter(part => part.inside === part.of).map(part => part.opening),
    crossed: parts.filter(part => part.inside > 0 && part.inside < part.of).map(part => part.opening),
  };
}

/** Whether a place is on the side of the ring's middle. @param {Api.Vec} at @param {Api.Vec[]} ring */
function inside(at, ring) {
  if (dot(at, middleOf(ring)) <= 0) return false;
  const east = unit(cross(at, Math.abs(at[1]) < 0.9 ? [0, 1, 0] : [1, 0, 0])), north = cross(at, east);
  const headings = fine(ring, true).map(point => Math.atan2(dot(point, north), dot(point, east)));
  let turned = 0;
  for (let i = 1; i < headings.length; i++) {
    const step = headings[i] - headings[i - 1];
    turned += step - 2 * Math.PI * Math.round(step / (2 * Math.PI));
  }
  return Math.abs(turned) > Math.PI;
}
