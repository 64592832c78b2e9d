// The browser's projection against the values the model's own projection gives (testdata/projection.json).
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { Projection } from "../js/model/projection.js";
import { angle, unit } from "../js/model/sphere.js";

const { frames, points } = JSON.parse(readFileSync(new URL("../../testdata/projection.json", import.meta.url), "utf8"));
const near = (/** @type {number} */ got, /** @type {number} */ want, /** @type {string} */ what) => assert.ok(Math.abs(got - want) < 1e-6, `${what}: ${got}, want ${want}`);

test("points lie where the model puts them", () => {
  assert.ok(points.length > 0);
  for (const { chamber, at, x, y } of points) {
    const [gotX, gotY] = new Projection(frames[chamber]).point(at);
    near(gotX, x, `${chamber} ${at} x`);
    near(gotY, y, `${chamber} ${at} y`);
  }
});

test("direction undoes point", () => {
  for (const { chamber, at } of points) {
    const projection = new Projection(frames[chamber]);
    near(angle(projection.direction(...projection.point(at)), unit(at)), 0, `${chamber} ${at}`);
  }
});

test("areas are true: a cap's disc has the cap's area", () => {
  for (const degrees of [10, 60, 137]) {
    const reach = (degrees * Math.PI) / 180;
    near(Math.PI * Projection.radius(reach) ** 2, 2 * Math.PI * (1 - Math.cos(reach)), `${degrees} degrees`);
  }
});
