import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { addPoint, adjustLesion, deletePoint, emptyDraft, movePoint, placeStretch } from "../js/acts/drawing.js";
import { History } from "../js/acts/history.js";
import { Atrium } from "../js/model/atrium.js";
import { drawing, ChamberMap } from "../js/model/chamber-map.js";
import { isEnd, joinMM, nearest, pointAfter, snapped, whereabouts } from "../js/model/draw.js";
import { angle, radians, towards, unit } from "../js/model/sphere.js";

const { frames } = JSON.parse(readFileSync(new URL("../../testdata/projection.json", import.meta.url), "utf8"));
const radius = 25;
const veins = { obstacle: "left-superior-vein", name: "left superior vein", centre: unit([-0.6, 0.45, 0.65]), radius_deg: 14 };
const valve = { obstacle: "mitral-annulus", name: "mitral annulus", centre: unit([-0.4, -0.62, -0.72]), radius_deg: 43 };
const appendage = { obstacle: "left-appendage-stump", name: "left appendage", centre: unit([-0.86, 0.42, -0.28]), radius_deg: 20 };
/** @type {Api.ChamberShape} */
const shape = { chamber: "left-atrium", name: "Left atrium", radius_mm: radius, projection: frames["left-atrium"], openings: [valve, veins, appendage], sites: [] };
const line = { name: "Drawn 1", path: /** @type {Api.Vec[]} */ ([unit([0.1, 0.6, 0.75]), unit([0.1, -0.2, 1])]), closed: false };
const around = { shape, appendage: "kept", others: [line] };
/** A point this many mm from an opening's edge. @param {Api.Opening} opening @param {number} mm @param {Api.Vec} [seen] */
const off = (opening, mm, seen = [0.2, 0.1, 1]) => towards(opening.centre, unit(seen), radians(opening.radius_deg) + mm / radius);

test("a point within 3 mm of an opening is carried to its edge, one farther stays", () => {
  for (const opening of [veins, valve]) {
    const joined = snapped(off(opening, joinMM - 0.05), around);
    assert.ok(Math.abs(angle(joined, opening.centre) - radians(opening.radius_deg)) * radius < 0.01, opening.name);
    const free = off(opening, joinMM + 0.05);
    assert.ok(angle(snapped(free, around), free) * radius < 0.01, opening.name);
  }
});

test("the 3 mm are those of the sphere, wherever on the map and however large the chamber", () => {
  const map = new ChamberMap({ ...shape, radius_mm: 35 }, ChamberMap.rimMM({ ...shape, radius_mm: 35 }));
  for (const seen of /** @type {Api.Vec[]} */ ([[1, 0, 0], [0, 1, 0], [0.5, -0.6, 0.6], [-0.9, 0.2, 0.4]])) {
    for (const [mm, joins] of /** @type {[number, boolean][]} */ ([[2.8, true], [3.2, false]])) {
      const at = towards(valve.centre, unit(seen), radians(valve.radius_deg) + mm / 35);
      const back = map.direction(...map.place(at)); // through the projection and back, as a pointer goes
      const near = nearest(back, { shape: map.shape, appendage: "kept", others: [] });
      assert.ok(Math.abs((near?.mm || 0) - mm) < 0.1, `${near?.mm} mm, want ${mm}`);
      assert.equal((near?.mm || 0) <= joinMM, joins);
    }
  }
});

test("a point joins another lesion between its points too", () => {
  const middle = towards(line.path[0], line.path[1], 0.4);
  const beside = towards(middle, [1, 0, 0], 2 / radius);
  assert.equal(nearest(beside, around)?.name, "Drawn 1");
  assert.ok(angle(snapped(beside, around), middle) * radius < 0.2);
});

test("inside an opening is its edge, and a kept appendage is no opening", () => {
  assert.equal(nearest(towards(veins.centre, [0, 0, 1], 0.05), around)?.mm, 0);
  assert.notEqual(nearest(appendage.centre, around)?.name, "the left appendage");
  assert.equal(nearest(appendage.centre, { ...around, appendage: "excised" })?.name, "the left appendage");
});

test("where a point lies is said with its distance, and whether an end is joined", () => {
  assert.equal(whereabouts(off(veins, 2), around, true), "2 mm from the left superior vein, joined");
  assert.equal(whereabouts(off(veins, 5), around, true), "5 mm from the left superior vein, not joined");
  assert.equal(whereabouts(off(veins, 5), around, false), "5 mm from the left superior vein");
  assert.equal(whereabouts(off(veins, 0), around, true), "at the left superior vein, joined");
  assert.equal(isEnd(line.path, false, 1), true);
  assert.equal(isEnd(line.path, true, 1), false);
});

test("a step with the arrow keys is as long on the sphere everywhere and goes where the map shows", () => {
  const map = new ChamberMap(shape, ChamberMap.rimMM(shape));
  for (const at of [unit([0.1, 0.2, 1]), unit([0.9, 0.1, -0.1]), unit([-0.1, 0.95, 0.1])]) {
    const [x, y] = map.place(at), right = map.moved(at, 1, 0, 5), up = map.moved(at, 0, 1, 5);
    assert.ok(Math.abs(angle(at, right) * radius - 5) < 1e-6);
    assert.ok(map.place(right)[0] > x && map.place(up)[1] < y);
  }
  const [x, y] = map.place(map.direction(drawing.x + 40, drawing.y - 25));
  assert.deepEqual([x, y], [drawing.x + 40, drawing.y - 25]);
});

test("a new point stands half-way to the next; after the last of a line, before it", () => {
  assert.equal(pointAfter(line.path, false, 0).index, 1);
  assert.equal(pointAfter(line.path, false, 1).index, 1);
  assert.equal(pointAfter(line.path, true, 1).index, 2);
});

test("a draft stays in the chamber of its first point", () => {
  const history = new History(emptyDraft(false)).after(placeStretch("left-atrium", [[0, 0, 1]])).after(placeStretch("right-atrium", [[0, 1, 0]]));
  assert.equal(history.now.path.length, 1);
  assert.equal(history.undoes, "place the point");
  assert.equal(history.undone().now.path.length, 0);
  const pulled = history.after(placeStretch("left-atrium", [[0, 1, 0], [1, 0, 0]]));
  assert.equal(pulled.now.path.length, 3);
  assert.equal(pulled.undone().now.path.length, 1, "a stretch is taken back as one");
});

test("points move, come and go; a line keeps two", () => {
  const plan = { lesions: [{ chamber: /** @type {Api.Chamber} */ ("left-atrium"), path: line.path, closed: false }] };
  let history = new History(plan).after(addPoint(0, 1, [0, 0, 1], "Drawn 1"));
  assert.equal(history.now.lesions[0].path.length, 3);
  history = history.after(movePoint(0, 1, [0, 1, 0], "Drawn 1", true)).after(movePoint(0, 1, [1, 0, 0], "Drawn 1", true));
  assert.deepEqual(history.now.lesions[0].path[1], [1, 0, 0]);
  assert.deepEqual(history.undone().now.lesions[0].path[1], [0, 0, 1]);
  history = history.after(deletePoint(0, 0, "Drawn 1"));
  assert.equal(history.after(deletePoint(0, 0, "Drawn 1")), history);
});

test("an adjusted lesion is a drawn one on the standard path, made as it was", () => {
  const standard = { id: "roof-line", name: "Roof line", chamber: /** @type {Api.Chamber} */ ("left-atrium"), closed: false, path: line.path };
  const plan = { lesions: [{ lesion: "roof-line", energy: "cryo", applications: 2 }] };
  const history = new History(/** @type {{lesions: Api.Lesion[]}} */ (plan)).after(adjustLesion(0, standard));
  assert.deepEqual(history.now.lesions, [{ chamber: "left-atrium", path: line.path, closed: false, energy: "cryo", applications: 2 }]);
  assert.equal(history.undone().now, plan);
});

test("drawn lesions are numbered among themselves", () => {
  const atrium = new Atrium(/** @type {Api.Atrium} */ (/** @type {unknown} */ ({ chambers: [shape], lesions: [{ id: "roof-line", name: "Roof line", chamber: "left-atrium", closed: false, path: line.path }] })));
  const drawn = { chamber: /** @type {Api.Chamber} */ ("left-atrium"), path: line.path };
  assert.deepEqual(atrium.namesOf([drawn, { lesion: "roof-line" }, drawn]), ["Drawn 1", "Roof line", "Drawn 2"]);
});
