import assert from "node:assert/strict";
import { test } from "node:test";
import { Palm } from "../js/model/palm.js";
import { awayFrom, flaw, lengthMM, thinMM, thinned } from "../js/model/path.js";
import { ringRound, within } from "../js/model/ring.js";
import { angle, circle, radians, towards, unit } from "../js/model/sphere.js";
import { landmarks, noWay, passedThrough, placeAt, wayBetween, waysOf } from "../js/model/ways.js";

const radius = 25;
/** @param {string} obstacle @param {Api.Vec} centre @param {number} radius_deg @returns {Api.Opening} */
const opening = (obstacle, centre, radius_deg) => ({ obstacle, name: obstacle.replaceAll("-", " "), centre: unit(centre), radius_deg });
// the openings of the design's surface
const valve = opening("mitral-annulus", [-0.4, -0.62, -0.72], 43), ls = opening("left-superior-vein", [-0.6, 0.45, 0.65], 14), li = opening("left-inferior-vein", [-0.62, -0.12, 0.77], 14);
const rs = opening("right-superior-vein", [0.65, 0.45, 0.6], 14), ri = opening("right-inferior-vein", [0.66, -0.12, 0.74], 14), stump = opening("left-appendage-stump", [-0.86, 0.42, -0.28], 20);
const left = [valve, ls, li, rs, ri, stump];
const right = [opening("tricuspid-annulus", [-0.35, -0.35, -0.87], 47), opening("superior-vena-cava", [-0.05, 0.9, 0.42], 20), opening("inferior-vena-cava", [0, -0.86, 0.5], 24), opening("coronary-sinus-ostium", [-0.8, -0.52, 0.05], 10)];
const frame = { centre: /** @type {Api.Vec} */ ([0, 0, 1]), right: /** @type {Api.Vec} */ ([1, 0, 0]), up: /** @type {Api.Vec} */ ([0, 1, 0]) };
/** @type {Api.ChamberShape} */
const shape = { chamber: "left-atrium", name: "Left atrium", radius_mm: radius, projection: frame, openings: left, sites: [] };
const line = { name: "Drawn 1", path: /** @type {Api.Vec[]} */ ([unit([0.1, 0.6, 0.75]), unit([0.1, -0.2, 1])]), closed: false };
const around = { shape, appendage: "kept", others: [line] };
const marks = landmarks(around);
const mark = (/** @type {string} */ id) => /** @type {import("../js/model/ways.js").Landmark} */ (marks.find(one => one.id === id));
const way = (/** @type {string} */ id) => /** @type {import("../js/model/ways.js").Way} */ (waysOf("left-atrium").find(one => one.id === id));

test("a thinned path has fewer points and leaves the old one by at most the tolerance", () => {
  for (const radiusMM of [20, 25, 40]) {
    const ring = circle([0.2, 0.3, 1], radians(34), 60), thin = thinned(ring, true, radiusMM);
    assert.ok(thin.length >= 3 && thin.length < 20, `${thin.length} points`);
    for (const at of ring) assert.ok(awayFrom(at, thin, true) * radiusMM <= thinMM + 1e-9);
    for (const at of thin) assert.ok(ring.includes(at), "no point is new");
    const arc = ring.slice(0, 30), open = thinned(arc, false, radiusMM);
    assert.deepEqual([open[0], open[open.length - 1]], [arc[0], arc[29]], "the ends stay");
    for (const at of arc) assert.ok(awayFrom(at, open, false) * radiusMM <= thinMM + 1e-9);
  }
});

test("a straight way thins to its ends, and what is short already stays", () => {
  const straight = [0, 0.1, 0.2, 0.3].map(by => towards([0, 0, 1], [1, 0, 0], by));
  assert.equal(thinned(straight, false, radius).length, 2);
  assert.equal(thinned(straight.slice(0, 3), true, radius).length, 3);
});

test("a ring round openings keeps clear of them, whatever the chamber's size", () => {
  for (const radiusMM of [20, 25, 38]) {
    for (const some of [[ls, li], [rs, ri], [ls, li, rs, ri], [ls], [valve]]) {
      const ring = ringRound(some, radiusMM);
      assert.ok(ring, "a ring");
      for (const one of some) assert.ok((awayFrom(one.centre, ring, true) - radians(one.radius_deg)) * radiusMM > radians(6) * radiusMM - thinMM - 0.01, one.name);
      const found = within(ring, left);
      for (const one of some) assert.ok(found.round.includes(one), `${one.name} is inside`);
    }
  }
});

test("a ring says what it goes round and what it crosses", () => {
  const ring = /** @type {Api.Vec[]} */ (ringRound([ls, ri], radius)), found = within(ring, left);
  assert.deepEqual(found.round, [ls, ri]);
  assert.deepEqual(found.crossed, [li, rs], "a ring from corner to corner cuts the other two");
  assert.deepEqual(within(/** @type {Api.Vec[]} */ (ringRound([right[3]], 26)), right), { round: [right[3]], crossed: [] });
});

test("openings on opposite sides have no ring", () => {
  assert.equal(ringRound([valve, rs], radius), undefined);
  assert.equal(ringRound([], radius), undefined);
});

test("a way between landmarks starts and ends at their edges, and bows to either side", () => {
  const mitral = mark("mitral-annulus"), vein = mark("left-superior-vein");
  assert.ok(marks.some(one => one.name === "start of Drawn 1"));
  const ways = ["straight", "left", "right", "roof", "front"].map(id => wayBetween(vein, mitral, way(id)));
  for (const path of ways) {
    assert.ok(Math.abs(angle(path[0], ls.centre) - radians(14)) < 1e-4);
    assert.ok(Math.abs(angle(path[path.length - 1], valve.centre) - radians(43)) < 1e-4);
  }
  assert.ok(angle(ways[1][1], ways[2][1]) > 0.2);
  for (const path of ways.slice(1)) assert.ok(lengthMM(path, false, radius) > lengthMM(ways[0], false, radius));
});

test("the parts of the wall that ways go past are clear of every opening", () => {
  for (const [chamber, all] of /** @type {[Api.Chamber, Api.Opening[]][]} */ ([["left-atrium", left], ["right-atrium", right]])) {
    for (const { name, past } of waysOf(chamber)) {
      for (const one of past ? all : []) assert.ok(angle(unit(/** @type {Api.Vec} */ (past)), one.centre) - radians(one.radius_deg) > radians(6), `${name}, ${one.name}`);
    }
  }
});

test("two landmarks on one place are refused in words, and so is an open way", () => {
  const touching = { id: "x", name: "end of Drawn 2", centre: towards(valve.centre, [0, 0, 1], radians(43)), edge: 0 };
  assert.match(noWay(mark("mitral-annulus"), touching, way("straight"), radius), /lie on one place.*Choose two/);
  assert.match(noWay(touching, touching, way("roof"), radius), /lie on one place/);
  assert.equal(noWay(mark("mitral-annulus"), mark("left-superior-vein"), way("straight"), radius), "");
  const opposite = { ...touching, centre: /** @type {Api.Vec} */ (touching.centre.map(part => -part)) };
  assert.match(noWay(touching, opposite, way("left"), radius), /opposite/);
  assert.equal(noWay(touching, opposite, way("roof"), radius), "");
});

test("a way says which openings it passes through, not those it ends at", () => {
  const roof = wayBetween(mark("left-superior-vein"), mark("right-superior-vein"), way("straight"));
  assert.deepEqual(passedThrough(roof, false, around), []);
  const across = wayBetween(mark("left-inferior-vein"), mark("Drawn 1 start"), way("straight"));
  assert.deepEqual(passedThrough(across, false, around), []);
  assert.deepEqual(passedThrough([unit([-0.6, 0.9, 0.4]), unit([-0.62, -0.5, 0.7])], false, around).map(one => one.obstacle), ["left-superior-vein", "left-inferior-vein"]);
});

test("a point at an opening stands on its edge, towards where the line is", () => {
  assert.ok(Math.abs(angle(placeAt(mark("left-superior-vein"), [0, 0, 1]), ls.centre) - radians(14)) < 1e-4);
  assert.ok(angle(placeAt(mark("Drawn 1 end"), [0, 1, 0]), line.path[1]) < 1e-4);
});

test("what the model would refuse is said before it is sent", () => {
  assert.match(flaw([[0, 0, 1]], false, radius), /two points/);
  assert.match(flaw([[0, 0, 1], [0, 1, 0]], true, radius), /three points/);
  assert.match(flaw([[0, 0, 1], [0, 0.001, 1]], false, radius), /no length/);
  assert.match(flaw([[0, 0, 1], [0, 0, -1]], false, radius), /opposite/);
  assert.equal(flaw([[0, 0, 1], [0, 1, 0]], false, radius), "");
});

test("with a pen in hand, touches are the palm's; a broad touch always is", () => {
  const palm = new Palm(), tip = { button: 0, isPrimary: true, width: 8, height: 8 };
  assert.equal(palm.draws({ ...tip, pointerType: "touch", timeStamp: 10 }), true);
  assert.equal(palm.draws({ ...tip, pointerType: "pen", timeStamp: 100 }), true);
  assert.equal(palm.draws({ ...tip, pointerType: "touch", timeStamp: 400 }), false);
  palm.sees({ pointerType: "pen", timeStamp: 900 }); // it hovers
  assert.equal(palm.draws({ ...tip, pointerType: "touch", timeStamp: 1400 }), false);
  assert.equal(palm.draws({ ...tip, pointerType: "touch", timeStamp: 1700 }), true);
  assert.equal(palm.draws({ ...tip, pointerType: "touch", timeStamp: 9000, width: 80 }), false);
  assert.equal(palm.draws({ ...tip, pointerType: "mouse", timeStamp: 950 }), true);
  assert.equal(palm.draws({ ...tip, pointerType: "pen", timeStamp: 960, button: 5 }), false, "the eraser end draws nothing");
  assert.equal(palm.draws({ ...tip, pointerType: "touch", timeStamp: 9999, isPrimary: false }), false);
});
