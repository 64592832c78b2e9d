import assert from "node:assert/strict";
import { test } from "node:test";
import { monthsIn, settingsToSend, sharePercent } from "../js/model/settings.js";

test("months are read from a list, and what is none makes it empty", () => {
  assert.deepEqual(monthsIn(" 3, 6 12;24 "), [3, 6, 12, 24]);
  assert.deepEqual(monthsIn("3, six"), []);
  assert.deepEqual(monthsIn(""), []);
});

test("settings are sent without spaces at the ends of their names", () => {
  assert.deepEqual(settingsToSend(/** @type {any} */ ({ sites: [" North ", "South"] })).sites, ["North", "South"]);
  assert.equal(sharePercent(0.57), 57);
});
