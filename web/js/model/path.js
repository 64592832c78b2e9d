// Paths on a chamber's surface: thinning them, and what the conduction model would refuse of them.
import { angle, nearestOnArc, unit } from "./sphere.js";

/** How far a thinned path may leave the one it stands for, in mm. A standard ring keeps clear of its veins by more than twice this. */
export const thinMM = 1;

/** Shorter than this a line is a dot: nobody can see it, and the conduction model refuses one of no length. */
export const shortestMM = 1;

/** The arcs of a path. @param {Api.Vec[]} path @param {boolean} closed @returns {[Api.Vec, Api.Vec][]} */
export function arcs(path, closed) {
  const ends = path.map(unit);
  if (closed && ends.length > 2) ends.push(ends[0]);
  return ends.slice(1).map((end, i) => [ends[i], end]);
}

/** @param {Api.Vec[]} path @param {boolean} closed @param {number} radiusMM */
export const lengthMM = (path, closed, radiusMM) => arcs(path, closed).reduce((sum, [a, b]) => sum + angle(a, b), 0) * radiusMM;

/** How far a point is from a path, in radians. @param {Api.Vec} at @param {Api.Vec[]} path @param {boolean} closed */
export function awayFrom(at, path, closed) {
  const point = unit(at);
  return Math.min(...arcs(path, closed).map(([a, b]) => angle(point, nearestOnArc(point, a, b))));
}

/**
 * The same way with fewer points (Douglas and Peucker, 1973, on the sphere): every point left out is within the tolerance of what stays.
 * @param {Api.Vec[]} path @param {boolean} closed @param {number} radiusMM @param {number} [toleranceMM] @returns {Api.Vec[]}
 */
export function thinned(path, closed, radiusMM, toleranceMM = thinMM) {
  if (path.length <= (closed ? 3 : 2)) return path;
  const tolerance = toleranceMM / radiusMM;
  if (!closed) return [...kept(path, tolerance), path[path.length - 1]];
  const far = farthest(path, path[0]); // a ring is thinned as two lines between two points far apart
  const ring = [...kept(path.slice(0, far + 1), tolerance), ...kept([...path.slice(far), path[0]], tolerance)];
  return ring.length >= 3 ? ring : path;
}

/** The points of a line that stay, without its last one. @param {Api.Vec[]} line @param {number} tolerance radians @returns {Api.Vec[]} */
function kept(line, tolerance) {
  const from = unit(line[0]), to = unit(line[line.length - 1]);
  let worst = 0, most = tolerance;
  for (let i = 1; i < line.length - 1; i++) {
    const point = unit(line[i]), away = angle(point, nearestOnArc(point, from, to));
    if (away > most) [worst, most] = [i, away];
  }
  if (worst === 0) return [line[0]];
  return [...kept(line.slice(0, worst + 1), tolerance), ...kept(line.slice(worst), tolerance)];
}

/** @param {Api.Vec[]} path @param {Api.Vec} from @returns {number} the index of the point farthest from there */
function farthest(path, from) {
  const away = path.map(at => angle(unit(at), unit(from)));
  return away.indexOf(Math.max(...away));
}

/**
 * What the conduction model would refuse of a path, in words; empty when nothing.
 * @param {Api.Vec[]} path @param {boolean} closed @param {number} radiusMM
 */
export function flaw(path, closed, radiusMM) {
  if (path.length < leastPoints(closed)) return closed ? "A ring needs three points." : "A line needs two points.";
  if (arcs(path, closed).some(([a, b]) => angle(a, b) > Math.PI - 0.01)) return "Two points that follow each other lie opposite each other, so the way between them is open: put a point between them.";
  if (lengthMM(path, closed, radiusMM) < shortestMM) return `The ${closed ? "ring" : "line"} would have no length: its points lie on one place.`;
  return "";
}

/** The least points a line and a ring need. @param {boolean} closed */
export const leastPoints = closed => (closed ? 3 : 2);
