import assert from "node:assert/strict";
import { test } from "node:test";
import { handedIn, inShort, madeFirst, medians, ordinal, pointsOf, scorePlaces, shareRows, shareWords } from "../js/model/growth.js";

/** @param {Partial<Api.GrowthShare>} one */
const share = one => /** @type {Api.GrowthShare} */ ({ hits: 0, n: 0, share: 0, median_score: 0, plans: [], ...one });
/** @param {Partial<Api.OmissionGrowth>} one */
const omission = one => /** @type {Api.OmissionGrowth} */ ({
  id: "a", name: "Roof missing", n: 3, scenarios: 2, first: share({}), earlier: share({}), later: share({}), latest: share({}), tests: share({}), change: "too-few-to-say", says: "", points: [], ...one,
});
const interval = { low: 0.158, high: 0.75, level: 0.95, method: "" };

test("a share is read with its interval and n, or as too few", () => {
  assert.equal(shareWords(share({ hits: 3, n: 7, share: 3 / 7, interval })), "3 of 7, 43\u00a0% (16 to 75)");
  assert.equal(shareWords(share({ hits: 1, n: 2, share: 0.5 })), "1 of 2, too few for a share");
});

test("only shares that rest on plans are shown, and each opens to its own", () => {
  const track = omission({ first: share({ n: 1, plans: ["b"] }), n: 2, tests: share({ n: 1, plans: ["c"] }), points: /** @type {Api.GrowthPoint[]} */ ([{ plan: "a" }, { plan: "b" }, { plan: "c" }]) });
  assert.deepEqual(shareRows(track).map(({ label }) => label), ["First tries", "Tests"]);
  const told = { ...track, n: 9, change: /** @type {Api.GrowthTrack["change"]} */ ("no-clear-change"), earlier: share({ n: 5 }), later: share({ n: 5 }), latest: share({ n: 6 }) };
  assert.deepEqual(shareRows(told).map(({ label }) => label), ["First tries", "Earlier half of these", "Later half of these", "Latest try at each scenario", "Tests"]);
  assert.deepEqual(pointsOf(track, track.first).map(({ plan }) => plan), ["b"]);
});

test("omissions made lately come first, and never asked ones not at all", () => {
  const list = [omission({ id: "calm", latest: share({ n: 4 }) }), omission({ id: "none", n: 0 }), omission({ id: "bad", latest: share({ n: 2, hits: 1, share: 0.5 }) }), omission({ id: "test", tests: share({ n: 1, hits: 1, share: 1 }) })];
  assert.deepEqual(madeFirst(list).map(({ id }) => id), ["test", "bad", "calm"]);
});

test("a sentence comes first", () => {
  const growth = /** @type {Api.Growth} */ ({ attempts: 4, scenarios: 1, omissions: [omission({ latest: share({ n: 2, hits: 1, share: 0.5 }) })] });
  assert.equal(inShort(growth), "The latest try at each scenario still shows: roof missing (1 of 2).");
  assert.match(inShort({ ...growth, omissions: [] }), /none of the common omissions/);
  assert.match(inShort({ ...growth, attempts: 0 }), /No plan is graded yet/);
  assert.equal(handedIn(growth), "4 graded plans on 1 scenario");
});

test("medians name the try and its n", () => {
  assert.equal(medians([{ attempt: 1, n: 5, median_score: 72 }, { attempt: 2, n: 1, median_score: 90.55 }]), "Median score in practice: 1st try 72 (n 5), 2nd 90.5 (n 1).");
  assert.deepEqual([1, 2, 3, 4, 11, 12, 13, 21, 22].map(ordinal), ["1st", "2nd", "3rd", "4th", "11th", "12th", "13th", "21st", "22nd"]);
  assert.equal(medians([]), "");
});

test("scores stand in their box, one alone in the middle", () => {
  const box = { left: 0, right: 100, top: 0, bottom: 50 };
  const at = (/** @type {number[]} */ scores) => scorePlaces(/** @type {Api.GrowthPoint[]} */ (scores.map(score => ({ score }))), box).map(({ x, y }) => [x, y]);
  assert.deepEqual(at([50]), [[50, 25]]);
  assert.deepEqual(at([0, 100, 120]), [[0, 50], [50, 0], [100, 0]]);
});
