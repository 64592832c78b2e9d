import assert from "node:assert/strict";
import test from "node:test";
import { binding, fine, formToMix, headlines, middleWords, mixToForm, shareWords } from "../js/model/simulation.js";

test("a share is written with its limits and its n, finer at the ends", () => {
  assert.equal(shareWords({ count: 400, of: 3333, estimate: 0.12, low: 0.1094, high: 0.1315 }), "12\u00a0% (11 to 13) of 3,333");
  assert.equal(shareWords({ count: 0, of: 50, estimate: 0, low: 0, high: 0.0714 }), "0\u00a0% (0 to 7.1) of 50, none seen");
  assert.equal(shareWords({ count: 0, of: 0 }), "nobody to count");
  assert.equal(fine(0.994), "99.4");
});

test("a quantile that was not reached says so", () => {
  assert.equal(middleWords({ tenth: 30, median: 45 }), "45 (30 to not reached)");
  assert.equal(middleWords({}), "not reached");
});

test("headlines: nobody ready, nobody adequate", () => {
  const none = { count: 0, of: 0 };
  const words = headlines(/** @type {any} */ ({ false_ready: none, false_not_ready: none }), /** @type {any} */ ({ adequate: 0.2, cases: 60 }));
  assert.deepEqual(words, ["It declares nobody ready.", "Nobody is adequate by operation 60, so nobody is missed."]);
});

test("the line that binds most stands first, and the outcome stays as it was", () => {
  const line = (/** @type {string} */ requirement, /** @type {number} */ last) => ({ requirement, says: "", last: { count: last, of: 10 }, unmet: { count: 0, of: 0 } });
  const outcome = /** @type {any} */ ({ binding: [line("a", 1), line("b", 9)] });
  assert.deepEqual(binding(outcome).map(one => one.requirement), ["b", "a"]);
  assert.equal(outcome.binding[0].requirement, "a");
});

test("per cent on the form and back is the same mix", () => {
  const mix = { groups: [{ name: "a", share: 1, curve: { start: 0.615, end: 0.07, half_life: 10 } }], kinds: [], cases_per_year: 41.7, primary: 0.6889, incomplete: 0.1, unsigned: 0, late: 0.1111, assessors: 3, spread: 0.5 };
  assert.deepEqual(formToMix(mixToForm(mix)), mix);
  assert.equal(mixToForm(mix).groups[0].curve.start, 61.5);
});
