// From findings to the map and back, and the result in words.
import assert from "node:assert/strict";
import { test } from "node:test";
import { findingsAbout, keysOf } from "../js/model/about.js";
import { economyWords, gapWords, nearest, verdictWords } from "../js/model/circuit-words.js";
import { inside, roomInside } from "../js/model/room.js";

const none = { independent_circuits: 0, isolated_percent: 0, circuits: [], gaps: [], islands: [] };
const result = /** @type {any} */ ({
  left_atrium: { ...none, gaps: [{ lesion: 2, at: [1, 0, 0], width_mm: 5, nearest: "mitral annulus" }, { lesion: 2, at: [0, 1, 0], width_mm: 4, nearest: "roof line" }] }, right_atrium: none,
  hazards: [{ lesion: 0, structure: "av-node", distance_mm: 9 }, { lesion: 3, structure: "av-node", distance_mm: 2 }, { lesion: 1, structure: "left-phrenic-nerve", distance_mm: 4 }],
});
/** @param {object} finding */
const finding = finding => /** @type {any} */ ({ code: "x", ...finding });

test("a finding leads to its lesion, circuit, gap and structure", () => {
  const gap = finding({ code: "gap", place: { chamber: "left-atrium", at: [0, 1, 0], lesion: 2 } });
  assert.deepEqual([...keysOf(gap, 4, result)], ["finding:4", "lesion:2", "gap:left-atrium:1"]);
  assert.deepEqual([...keysOf(finding({ code: "near-av-node", place: { chamber: "right-atrium", at: [1, 0, 0], lesion: 3 } }), 0, result)], ["finding:0", "structure:av-node", "lesion:3"]);
  assert.ok(keysOf(finding({ code: "near-phrenic-nerve", place: { chamber: "left-atrium", at: [1, 0, 0] } }), 0, result).has("structure:left-phrenic-nerve"));
  assert.ok(keysOf(finding({ code: "posterior-wall-heat" }), 0, result).has("structure:oesophagus"));
  assert.ok(keysOf(finding({ place: { chamber: "left-atrium", at: [1, 0, 0], circuit: 0 } }), 0, result).has("circuit:left-atrium:0"));
  assert.deepEqual([...keysOf(finding({ code: "monitoring-short" }), 1, result)], ["finding:1"]);
});

test("what is chosen on the map leads to every finding about it", () => {
  const findings = [finding({ place: { chamber: "left-atrium", at: [1, 0, 0], lesion: 2 } }), finding({}), finding({ code: "gap", place: { chamber: "left-atrium", at: [1, 0, 0], lesion: 2 } })];
  assert.deepEqual(findingsAbout(findings, new Set(["lesion:2"]), result), [0, 2]);
  assert.deepEqual(findingsAbout(findings, new Set(["gap:left-atrium:0"]), result), [2]);
  assert.deepEqual(findingsAbout(findings, new Set(["lesion:7"]), result), []);
});

test("length, wavelength and verdict are told together", () => {
  const words = (/** @type {string} */ verdict, /** @type {number} */ length_mm) => verdictWords(/** @type {any} */ ({ verdict, length_mm }), 119.4).replaceAll("\u00a0", " ");
  assert.equal(words("can-sustain", 123), "can sustain flutter: 123 mm, not shorter than the wavelength of 119 mm used");
  assert.match(words("possible", 93), /^possible in a remodelled atrium: 93 mm, shorter than the wavelength of 119 mm used/);
  assert.match(words("harmless", 35), /35 mm is too short/);
});

test("a gap says where, how wide and what it leaves open", () => {
  const says = gapWords({ lesion: 0, at: [1, 0, 0], width_mm: 5.25, nearest: "mitral annulus", leaves_open: ["round the mitral annulus", "left superior vein not isolated"] }, "Roof line");
  assert.equal(says.what.replaceAll("\u00a0", " "), "Roof line ends 5.3 mm short of the mitral annulus");
  assert.equal(says.open, "It leaves open: round the mitral annulus and left superior vein not isolated.");
  assert.equal(gapWords({ lesion: 0, at: [1, 0, 0], width_mm: 4, nearest: "roof line" }, "A").open, "");
});

test("each structure stands once, by its nearest lesion", () => {
  assert.deepEqual(nearest(result.hazards).map(one => [one.structure, one.lesion, one.distance_mm]), [["av-node", 3, 2], ["left-phrenic-nerve", 1, 4]]);
});

test("economy is told in words", () => {
  assert.equal(economyWords({ total_mm: 0, shortest_mm: 0, ratio: null }), "No lines.");
  assert.match(economyWords({ total_mm: 310, shortest_mm: 75, ratio: 4.13 }), /310.mm of tissue.*75.mm: the plan has 4.1 times/);
  assert.match(economyWords({ total_mm: 30, shortest_mm: 0, ratio: null }), /fuse nothing/);
});

test("words stand inside an island, off what is taken, or nowhere", () => {
  /** @type {[number, number][]} */
  const square = [[0, 0], [100, 0], [100, 100], [0, 100]];
  const at = roomInside([square], [[20, 50]]);
  assert.ok(at && inside([square], at[0], at[1]) && at[0] > 50);
  assert.equal(roomInside([[[0, 0], [20, 0], [20, 20], [0, 20]]], []), undefined);
  assert.equal(inside([square, [[40, 40], [60, 40], [60, 60], [40, 60]]], 50, 50), false, "a hole is outside");
});
