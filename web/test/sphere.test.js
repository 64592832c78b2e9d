import assert from "node:assert/strict";
import { test } from "node:test";
import { drawing, ChamberMap } from "../js/model/chamber-map.js";
import { angle, between, circle, fine, radians, unit } from "../js/model/sphere.js";

test("angle is accurate for near and opposite directions", () => {
  assert.ok(Math.abs(angle([1, 0, 0], [Math.cos(1e-6), Math.sin(1e-6), 0]) - 1e-6) < 1e-12);
  assert.equal(angle([1, 0, 0], [-1, 0, 0]), Math.PI);
});

test("between stays on the great circle", () => {
  const middle = between([1, 0, 0], [0, 1, 0], 0.5);
  assert.ok(Math.abs(angle([1, 0, 0], middle) - Math.PI / 4) < 1e-12);
  assert.ok(Math.abs(middle[2]) < 1e-12);
});

test("fine keeps the ends and takes no long step", () => {
  const path = fine([[1, 0, 0], [0, 1, 0], [0, 0, 1]], false, 0.05);
  assert.deepEqual(path[0], [1, 0, 0]);
  assert.ok(angle(path[path.length - 1], [0, 0, 1]) < 1e-9);
  for (let i = 1; i < path.length; i++) assert.ok(angle(path[i - 1], path[i]) < 0.051);
  const ring = fine([[1, 0, 0], [0, 1, 0], [0, 0, 1]], true);
  assert.ok(angle(ring[0], ring[ring.length - 1]) < 1e-9);
});

test("every point of a circle is its radius from the centre", () => {
  const centre = unit([-0.6, 0.45, 0.65]);
  for (const point of circle(centre, 0.3)) assert.ok(Math.abs(angle(point, centre) - 0.3) < 1e-9);
});

/** A ball with a valve at the back. @type {Api.ChamberShape} */
const shape = {
  chamber: "left-atrium", name: "Left atrium", radius_mm: 25, projection: { centre: [0, 0, 1], right: [1, 0, 0], up: [0, 1, 0] },
  openings: [{ obstacle: "mitral-annulus", name: "mitral annulus", centre: [0, 0, -1], radius_deg: 43 }], sites: [],
};

test("the annulus is the rim, and what lies inside the valve is drawn on it", () => {
  const map = new ChamberMap(shape, ChamberMap.rimMM(shape));
  assert.ok(Math.abs(map.rim - drawing.rim) < 1e-9);
  assert.deepEqual(map.place([0, 0, 1]), [drawing.x, drawing.y]);
  const edge = /** @type {[number, number, number]} */ ([Math.sin(radians(43)), 0, -Math.cos(radians(43))]);
  assert.ok(Math.abs(map.place(edge)[0] - drawing.x - drawing.rim) < 0.11);
  const xs = map.path([[0.1, 0, -1], [0.2, 0, -1]], false).slice(1).split("L").map(pair => Number(pair.split(" ")[0]));
  for (const x of xs) assert.ok(x - drawing.x < drawing.rim + 4, `x ${x} is off the map`);
});

test("a circuit that leaves the chamber is drawn in pieces", () => {
  const map = new ChamberMap(shape, ChamberMap.rimMM(shape));
  const here = (/** @type {Api.Vec} */ at) => ({ chamber: /** @type {Api.Chamber} */ ("left-atrium"), at });
  const path = map.circuit([here([1, 0, 0]), here([0, 1, 0]), { chamber: "right-atrium", at: [0, 1, 0] }, here([0, 0, 1]), here([0, 1, 0])]);
  assert.equal(path.match(/M/g)?.length, 2);
  assert.ok(!path.includes("Z"));
});
