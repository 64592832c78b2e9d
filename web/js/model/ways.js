// Ways between two landmarks: straight, bowed to a side, or past a part of the chamber that has a name.
import { openings, rounded } from "./draw.js";
import { arcs, shortestMM } from "./path.js";
import { angle, between, cross, nearestOnArc, radians, towards, unit } from "./sphere.js";

/** @typedef {import("./draw.js").Surroundings} Surroundings */
/** @typedef {{id: string, name: string, centre: Api.Vec, edge: number}} Landmark edge: how far from its centre a line ends, radians */
/** @typedef {{id: string, name: string, past?: Api.Vec}} Way past: the place it goes by */

/** Where a line can begin and end: openings, and the ends of other lines. @param {Surroundings} around @returns {Landmark[]} */
export function landmarks(around) {
  const ends = around.others.flatMap(({ name, path, closed }) => (closed || path.length < 2 ? [] : [
    { id: `${name} start`, name: `start of ${name}`, centre: path[0], edge: 0 },
    { id: `${name} end`, name: `end of ${name}`, centre: path[path.length - 1], edge: 0 },
  ]));
  return [...openings(around).map(one => ({ id: one.obstacle, name: one.name, centre: one.centre, edge: radians(one.radius_deg) })), ...ends];
}

/** @type {Way[]} */
const plainWays = [{ id: "straight", name: "Straight" }, { id: "left", name: "Bowed to its left" }, { id: "right", name: "Bowed to its right" }];

/** Places of our own choice that stand for a part of the wall, clear of every opening. @type {Record<Api.Chamber, Way[]>} */
const pastWays = {
  "left-atrium": [
    { id: "roof", name: "Over the roof", past: [0, 0.87, 0.45] }, { id: "behind", name: "Behind, over the posterior wall", past: [0, 0.2, 0.98] },
    { id: "under", name: "Under the inferior veins", past: [0.05, -0.62, 0.78] }, { id: "front", name: "In front, over the anterior wall", past: [0.25, 0.45, -0.85] },
  ],
  "right-atrium": [
    { id: "behind", name: "Behind, between the cavae", past: [0.1, 0.05, 0.99] }, { id: "free-wall", name: "Along the free wall", past: [0.93, 0, 0.35] },
    { id: "septum", name: "Along the septum", past: [-0.95, 0.2, 0.2] }, { id: "front", name: "In front, past the appendage", past: [0.6, 0.55, -0.57] },
  ],
};

/** The ways a line can take in a chamber. @param {Api.Chamber} chamber @returns {Way[]} */
export const waysOf = chamber => [...plainWays, ...pastWays[chamber]];

/** How far a bowed way stands off the straight one in the middle, as a share of its length. */
const bow = 0.3;

/** Why there is no way between two landmarks, in words; empty when there is one. @param {Landmark} from @param {Landmark} to @param {Way} way @param {number} radiusMM */
export function noWay(from, to, way, radiusMM) {
  const apart = angle(unit(from.centre), unit(to.centre));
  if ((apart - from.edge - to.edge) * radiusMM < shortestMM) return `The ${from.name} and the ${to.name} lie on one place, so a line between them has no length. Choose two landmarks that are apart.`;
  if (!way.past && apart > Math.PI - 0.02) return `The ${from.name} and the ${to.name} lie opposite each other, so the straight way is open. Choose a route past a part of the wall.`;
  return "";
}

/** The way between two landmarks, seen from outside the chamber for left and right. @param {Landmark} from @param {Landmark} to @param {Way} way @returns {Api.Vec[]} */
export function wayBetween(from, to, way) {
  const start = unit(from.centre), end = unit(to.centre);
  if (way.past) {
    const past = unit(way.past);
    return [towards(start, past, from.edge), past, towards(end, past, to.edge)].map(rounded);
  }
  const first = towards(start, end, from.edge), last = towards(end, start, to.edge);
  const middle = between(first, last, 0.5);
  if (way.id === "straight") return (angle(first, last) > 2 ? [first, middle, last] : [first, last]).map(rounded);
  const left = unit(cross(middle, last));
  const side = /** @type {Api.Vec} */ (way.id === "left" ? left : left.map(part => -part));
  const aside = towards(middle, side, Math.max(0.12, bow * angle(first, last)));
  return [towards(start, aside, from.edge), aside, towards(end, aside, to.edge)].map(rounded);
}

/** The openings a path passes through; one it only ends at is not among them. @param {Api.Vec[]} path @param {boolean} closed @param {Surroundings} around */
export const passedThrough = (path, closed, around) => openings(around).filter(({ centre, radius_deg }) => arcs(path, closed).some(([a, b]) => {
  const middle = unit(centre);
  return (radians(radius_deg) - angle(middle, nearestOnArc(middle, a, b))) * around.shape.radius_mm > 1;
}));

/** The place of a landmark to put a point at, seen from where the line is now. @param {Landmark} mark @param {Api.Vec} seen @returns {Api.Vec} */
export const placeAt = (mark, seen) => (mark.edge === 0 ? rounded(mark.centre) : rounded(towards(mark.centre, seen, mark.edge)));
