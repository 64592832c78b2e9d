// Where a few words have room on the map.

/** @typedef {[number, number]} Place */

/** The least room, in units of the drawing, that two short lines of text need round their middle. */
const least = 17;

/**
 * The place inside rings that is farthest from their border and from what is taken, or undefined where words would not fit. Words are
 * wider than high, so room to the sides counts for less.
 * @param {Place[][]} rings filled by the even-odd rule @param {Place[]} taken
 * @returns {Place | undefined}
 */
export function roomInside(rings, taken) {
  const all = rings.flat(), step = 4;
  const xs = all.map(([x]) => x), ys = all.map(([, y]) => y);
  /** @type {Place | undefined} */
  let best;
  let most = least;
  for (let x = Math.min(...xs); x <= Math.max(...xs); x += step) {
    for (let y = Math.min(...ys); y <= Math.max(...ys); y += step) {
      if (!inside(rings, x, y)) continue;
      const off = (/** @type {Place} */ [px, py], /** @type {number} */ wide) => Math.hypot((px - x) / wide, py - y);
      const room = Math.min(...taken.map(one => off(one, 2) - 6), ...all.map(one => off(one, 1.4) + 4));
      if (room > most) [best, most] = [[Math.round(x), Math.round(y)], room];
    }
  }
  return best;
}

/** Whether a place lies inside rings, by the even-odd rule. @param {Place[][]} rings @param {number} x @param {number} y */
export function inside(rings, x, y) {
  let within = false;
  for (const ring of rings) {
    ring.forEach(([ax, ay], i) => {
      const [bx, by] = ring[(i + 1) % ring.length];
      if (ay > y !== by > y && x < ax + ((y - ay) / (by - ay)) * (bx - ax)) within = !within;
    });
  }
  return within;
}
