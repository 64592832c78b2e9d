import assert from "node:assert/strict";
import test from "node:test";
import { chanceWords, scarcest, supplyVerdict, supplyWords } from "../js/model/supply.js";

const line = (/** @type {Partial<Api.Supply>} */ part) => /** @type {Api.Supply} */ ({ requirement: "a", says: "", has: 1, target: 6, lacks: 5, sources: [], expected: 6.5, low: 2, high: 12, level: 0.9, chance: 0.72, ...part });

test("what may come is said with its limits and its chance", () => {
  assert.equal(supplyWords(line({})), "6.5 (2 to 12) expected; chance of 5 more cases 72\u00a0%");
  assert.equal(supplyWords(line({ lacks: 0 })), "nothing is lacking");
  assert.equal(supplyWords(line({ cannot_say: "no posting is planned" })), "cannot say: no posting is planned");
  assert.equal(chanceWords(0.0012), "below 1\u00a0%");
  assert.equal(chanceWords(0.9999), "above 99\u00a0%");
});

test("the scarcest stands first, what is there last", () => {
  const sorted = scarcest([line({ requirement: "there", lacks: 0 }), line({ requirement: "likely", chance: 0.9 }), line({ requirement: "unlikely", chance: 0.1 }), line({ requirement: "unknown", cannot_say: "x" })]);
  assert.deepEqual(sorted.map(one => one.requirement), ["unlikely", "unknown", "likely", "there"]);
  assert.deepEqual([0.1, 0.5, 0.8].map(chance => supplyVerdict(line({ chance }))), ["unlikely", "may fall short", "likely"]);
});
