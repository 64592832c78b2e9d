import assert from "node:assert/strict";
import test from "node:test";
import { moved, trendSign, trendWords } from "../js/model/cohort.js";

const last = { row: 2, column: 3 };

test("arrows stop at the edges, Home and End go to the row's ends, with Control to the corners", () => {
  assert.deepEqual(moved({ row: 0, column: 0 }, "ArrowUp", false, last), { row: 0, column: 0 });
  assert.deepEqual(moved({ row: 2, column: 3 }, "ArrowDown", false, last), { row: 2, column: 3 });
  assert.deepEqual(moved({ row: 1, column: 3 }, "ArrowRight", false, last), { row: 1, column: 3 });
  assert.deepEqual(moved({ row: 1, column: 1 }, "ArrowLeft", false, last), { row: 1, column: 0 });
  assert.deepEqual(moved({ row: 1, column: 2 }, "Home", false, last), { row: 1, column: 0 });
  assert.deepEqual(moved({ row: 1, column: 2 }, "End", true, last), { row: 2, column: 3 });
  assert.equal(moved({ row: 1, column: 2 }, "Enter", false, last), null);
});

test("a trend says what was and when", () => {
  assert.equal(trendWords({ trend: "falling", was: "met", state: "short" }, "2026-03-01"), "Falling: met on 1 Mar 2026.");
  assert.match(trendWords({ trend: "rising", was: "short", state: "short" }, "2026-03-01"), /^Rising since /);
  assert.match(trendWords({ trend: "level", was: "met", state: "met" }, "2026-03-01"), /^As on /);
  assert.equal(trendSign({ trend: "level" }), "");
});
