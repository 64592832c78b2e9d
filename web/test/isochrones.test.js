// The activation map's geometry, against fields simple enough to know the answer, and against the model's own sphere.
import assert from "node:assert/strict";
import { test } from "node:test";
import { Activation, Isochrones } from "../js/model/isochrones.js";

/** A flat square of n by n places, 1 apart, two triangles a cell; every other cell is turned the other way round.
 * @param {number} n @param {(x: number, y: number) => number} time @param {(x: number, y: number) => boolean} [cut] whether the cell at x, y is cut out */
function square(n, time, cut = () => false) {
  const nodes = [], times = [], triangles = [];
  for (let y = 0; y < n; y++) for (let x = 0; x < n; x++) { nodes.push([x, y, 0]); times.push(time(x, y)); }
  for (let y = 0; y + 1 < n; y++) {
    for (let x = 0; x + 1 < n; x++) {
      const a = y * n + x, b = a + 1, c = a + n, d = c + 1;
      if (!cut(x, y)) triangles.push(...(x % 2 ? [[a, b, d], [a, d, c]] : [[a, d, b], [a, c, d]]));
    }
  }
  return new Isochrones(/** @type {any} */ ({ chamber: "left-atrium", nodes, triangles, times_ms: times }), { place: at => [at[0], at[1]] });
}

/** The rings of path data. @param {string} d @returns {[number, number][][]} */
const rings = d => d.split("M").filter(Boolean).map(ring => ring.replace("Z", "").split("L").map(place => /** @type {[number, number]} */ (place.split(" ").map(Number))));

/** The area inside rings filled by the even-odd rule, where they do not cross and holes turn the other way. @param {string} d */
const area = d => Math.abs(rings(d).reduce((sum, ring) => sum + ring.reduce((part, [x, y], i) => {
  const [nx, ny] = ring[(i + 1) % ring.length];
  return part + (x * ny - nx * y) / 2;
}, 0), 0));

test("time that rises to the right has straight upright lines", () => {
  const field = square(11, x => 10 * x);
  const [line, ...others] = rings(field.line(34));
  assert.equal(others.length, 0);
  assert.ok(line.every(([x]) => x === 3.4));
  assert.deepEqual([...new Set([line[0][1], line[line.length - 1][1]])].sort((a, b) => a - b), [0, 10]);
  assert.ok(Math.abs(area(field.by(34)) - 34) < 1e-9);
  assert.ok(Math.abs(area(field.after(34)) - 66) < 1e-9);
  assert.equal(field.latest, 100);
  assert.deepEqual(field.levels(), [20, 40, 60, 80]);
  assert.deepEqual(field.steps().map(one => one.step), [4, 3, 2, 1, 0]);
});

test("lines through corners are whole, and the ends of time hold nothing or everything", () => {
  const field = square(11, x => 10 * x);
  assert.ok(Math.abs(area(field.by(30)) - 30) < 1e-9);
  assert.ok(Math.abs(area(field.by(100)) - 100) < 1e-9);
  assert.equal(field.after(100), "");
  assert.equal(field.by(-1), "");
  assert.ok(Math.abs(area(field.after(-1)) - 100) < 1e-9);
});

test("time from one point spreads in circles", () => {
  const field = square(61, (x, y) => Math.hypot(x - 30, y - 30));
  const [line] = rings(field.line(20));
  for (const [x, y] of line) assert.ok(Math.abs(Math.hypot(x - 30, y - 30) - 20) < 0.11, `${x} ${y}`);
  assert.ok(Math.abs(area(field.by(20)) / (Math.PI * 400) - 1) < 0.01);
  assert.match(field.line(20), /^M[^M]*Z$/, "one closed line");
});

test("a cut has a border of its own and splits the front", () => {
  const field = square(11, x => 10 * x, (x, y) => y === 5 && x > 1);
  assert.equal(rings(field.line(55)).length, 2);
  assert.ok(Math.abs(area(field.by(100)) - 92) < 1e-9);
  assert.ok(Math.abs(area(field.by(55)) + area(field.after(55)) - 92) < 1e-9);
});

test("what the beat does not reach is left out, and counts as not activated", () => {
  const field = square(11, x => (x < 8 ? 10 * x : -1));
  assert.ok(Math.abs(area(field.by(1000)) - 70) < 1e-9);
  assert.equal(field.share(1000).toFixed(3), (88 / 121).toFixed(3));
  assert.equal(field.share(-5), 0);
  assert.equal(field.share(0).toFixed(3), (11 / 121).toFixed(3));
  assert.equal(square(3, () => -1).latest, 0);
  assert.equal(square(3, () => -1).latestPlace, undefined);
});

test("labels stand on the longest piece of a line, off what is taken", () => {
  const field = square(101, x => x);
  const free = field.labelPlace(50, [[50, 50]]);
  assert.ok(free && free[0] === 50 && Math.abs(free[1] - 50) > 30);
  assert.equal(field.labelPlace(50, [...Array(101)].map((_, y) => [50, y])), undefined);
});

test("a time is told in words for both chambers", () => {
  const facts = chamber => ({ chamber, nodes: [[0, 0, 0], [1, 0, 0], [0, 1, 0], [1, 1, 0]], triangles: [[0, 1, 2]], times_ms: [0, 10, 20, -1] });
  const activation = new Activation(/** @type {any} */ ({ chambers: [facts("left-atrium"), facts("right-atrium")], caution: "c" }), /** @type {any} */ ([{ shape: { chamber: "left-atrium" }, place: at => at }, { shape: { chamber: "right-atrium" }, place: at => at }]));
  assert.equal(activation.words(12), "at 12\u00a0ms: 50\u00a0% of the left atrium and 50\u00a0% of the right atrium activated");
  assert.equal(activation.short(12), "12\u00a0ms: left atrium 50\u00a0%, right atrium 50\u00a0% activated");
  assert.equal(activation.latest, 20);
});
