// Directions on a chamber's surface: unit vectors, angles in radians.

/** @typedef {Api.Vec} Vec */

/** @param {Vec} a @param {Vec} b */
export const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

/** @param {Vec} a @param {Vec} b @returns {Vec} */
export const cross = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];

/** @param {Vec} v @returns {Vec} */
export function unit(v) {
  const length = Math.hypot(v[0], v[1], v[2]) || 1;
  return [v[0] / length, v[1] / length, v[2] / length];
}

/** The angle between two directions, accurate for small angles too. @param {Vec} a @param {Vec} b */
export const angle = (a, b) => Math.atan2(Math.hypot(...cross(a, b)), dot(a, b));

/** The direction a share t of the way along the great circle from a to b. @param {Vec} a @param {Vec} b @param {number} t @returns {Vec} */
export function between(a, b, t) {
  const whole = angle(a, b);
  if (whole < 1e-9) return a;
  const from = Math.sin((1 - t) * whole) / Math.sin(whole), to = Math.sin(t * whole) / Math.sin(whole);
  return unit([a[0] * from + b[0] * to, a[1] * from + b[1] * to, a[2] * from + b[2] * to]);
}

/** A path with points added so that no step is longer than `step`. @param {Vec[]} path @param {boolean} closed @param {number} [step] @returns {Vec[]} */
export function fine(path, closed, step = 0.04) {
  const ends = path.map(unit);
  if (closed && ends.length > 1) ends.push(ends[0]);
  /** @type {Vec[]} */
  const all = ends.slice(0, 1);
  for (let i = 1; i < ends.length; i++) {
    const pieces = Math.max(1, Math.ceil(angle(ends[i - 1], ends[i]) / step));
    for (let k = 1; k <= pieces; k++) all.push(between(ends[i - 1], ends[i], k / pieces));
  }
  return all;
}

/** The points of a circle about a direction. @param {Vec} centre @param {number} radius @param {number} [points] @returns {Vec[]} */
export function circle(centre, radius, points = 48) {
  const axis = unit(centre);
  const side = unit(cross(axis, Math.abs(axis[1]) < 0.9 ? [0, 1, 0] : [1, 0, 0])), other = cross(axis, side);
  return Array.from({ length: points }, (_, i) => {
    const turn = (2 * Math.PI * i) / points, across = Math.sin(radius), along = Math.cos(radius);
    const c = Math.cos(turn) * across, s = Math.sin(turn) * across;
    return unit([axis[0] * along + side[0] * c + other[0] * s, axis[1] * along + side[1] * c + other[1] * s, axis[2] * along + side[2] * c + other[2] * s]);
  });
}

/** @param {number} degrees */
export const radians = degrees => (degrees * Math.PI) / 180;

/** The direction reached from a towards b after an angle. @param {Vec} a @param {Vec} b @param {number} by radians @returns {Vec} */
export function towards(a, b, by) {
  const from = unit(a), along = dot(from, b);
  const side = unit([b[0] - along * from[0], b[1] - along * from[1], b[2] - along * from[2]]);
  const cos = Math.cos(by), sin = Math.sin(by);
  return unit([from[0] * cos + side[0] * sin, from[1] * cos + side[1] * sin, from[2] * cos + side[2] * sin]);
}

/** The place on the great-circle arc from a to b that is nearest to p. @param {Vec} p @param {Vec} a @param {Vec} b @returns {Vec} */
export function nearestOnArc(p, a, b) {
  const normal = cross(a, b);
  if (Math.hypot(...normal) < 1e-12) return a;
  const n = unit(normal), high = dot(n, p);
  const foot = unit([p[0] - high * n[0], p[1] - high * n[1], p[2] - high * n[2]]);
  if (dot(n, cross(a, foot)) >= 0 && dot(n, cross(foot, b)) >= 0) return foot;
  return dot(p, a) >= dot(p, b) ? a : b;
}
