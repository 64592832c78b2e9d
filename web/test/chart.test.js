import assert from "node:assert/strict";
import { test } from "node:test";
import { apart, layOut, part, pathOf, ticks, written } from "../js/model/chart-layout.js";
import { csvOf, field, followedAt, pointWords, rowsOf } from "../js/model/chart-table.js";

/** @returns {any} */
const chart = () => ({
  id: "curve", title: "Curve", says: "It rises.", n: 3, of: "cases", x: { label: "Case", unit: "count", min: 0, max: 10 }, y: { label: "Share", unit: "share", min: 0, max: 1 },
  layers: [
    { shape: "line", role: "main", name: "fitted", points: [{ x: 1, y: 0.2 }, { x: 2, y: 0.4 }, { x: 2, y: 0 }] },
    { shape: "dots", role: "second", name: "seen", points: [{ x: 2, y: 0.5, low: 0.25, high: 0.75, n: 4, link: "/cases/a", says: "=late" }] },
    { shape: "rule", role: "limit", name: "target", points: [{ x: 0, y: 0.8 }] },
  ],
});

test("round numbers stand along an axis, whole ones where things are counted", () => {
  const labels = (/** @type {any} */ axis, /** @type {number} */ wanted) => ticks({ label: "", ...axis }, wanted).map(tick => tick.label);
  assert.deepEqual(labels({ min: 0, max: 1, unit: "share" }, 5), ["0", "20", "40", "60", "80", "100"].map(label => `${label}\u00a0%`));
  assert.deepEqual(labels({ min: 0, max: 3, unit: "count" }, 9), ["0", "1", "2", "3"]);
  assert.deepEqual(labels({ min: 0, max: 12, unit: "months" }, 4), ["0", "3", "6", "9", "12"]);
  assert.deepEqual(labels({ min: 0, max: 60, unit: "months" }, 5), ["0", "12", "24", "36", "48", "60"]);
  assert.deepEqual(labels({ min: 0, max: 0.3 }, 3), ["0", "0.1", "0.2", "0.3"]);
});

test("a place along an axis, and a value in words", () => {
  assert.equal(part({ label: "", min: 10, max: 20 }, 15), 0.5);
  assert.equal(written({ label: "", min: 0, max: 1, unit: "share" }, 0.123), "12.3\u00a0%");
});

test("the chart fits its width; names stand beside the lines where there is room and never on one another", () => {
  const narrow = layOut(chart(), 350), wide = layOut(chart(), 900);
  assert.equal(narrow.labels.length, 0);
  assert.ok(narrow.box.right <= 350 && wide.box.right < 860);
  const ys = wide.labels.map(label => label.y);
  for (let i = 1; i < ys.length; i++) assert.ok(ys[i] - ys[i - 1] >= 16);
  const crowded = apart([{ y: 100 }, { y: 101 }, { y: 99 }], { left: 0, right: 0, top: 0, bottom: 102 });
  assert.deepEqual(crowded.map(one => one.y), [70, 86, 102]);
});

test("paths of lines, steps and bands", () => {
  const same = (/** @type {number} */ value) => value;
  const points = [{ x: 0, y: 1, low: 0, high: 2 }, { x: 5, y: 3, low: 2, high: 4 }];
  const layer = (/** @type {any} */ shape) => ({ shape, role: /** @type {const} */ ("main"), name: "", points });
  assert.equal(pathOf(layer("line"), same, same), "M0 1L5 3");
  assert.equal(pathOf(layer("step"), same, same), "M0 1H5V3");
  assert.equal(pathOf(layer("band"), same, same), "M0 2L5 4L5 2L0 0Z");
  assert.equal(pathOf(layer("stairs"), same, same), "M0 2H5V4L5 2V0H0Z");
});

test("the table holds every point, also two at one place", () => {
  const rows = rowsOf(chart());
  assert.deepEqual(rows.map(row => [row.label, ...row.cells.map(cell => cell?.y ?? null)]), [["1", 0.2, null], ["2", 0.4, 0.5], ["2", 0, null]]);
  assert.equal(pointWords(chart(), chart().layers[1].points[0]), "50\u00a0% (25\u00a0% to 75\u00a0%), n\u00a0=\u00a04");
});

test("who is still followed has its rows under the chart, in words and in the file", () => {
  const followed = chart();
  followed.layers[0].at_risk = [22, 21, 21, 20];
  assert.equal(layOut(followed, 350).height - layOut(chart(), 350).height, 54);
  assert.equal(layOut(followed, 900).height - layOut(chart(), 900).height, 38);
  assert.deepEqual(followedAt(followed.layers[0]), ["0: 22", "3: 20"]);
  assert.ok(csvOf(followed, "").includes("\r\nfitted,3,,,,20,still followed\r\n"));
});

test("the file is RFC 4180, in full precision, and no formula", () => {
  const lines = csvOf(chart(), "For education.").split("\r\n");
  assert.equal(lines[0], "layer,Case,Share,low,high,n,remark");
  assert.equal(lines[4], "seen,2,0.5,0.25,0.75,4,'=late");
  assert.equal(lines.at(-2), "caution,,,,,,For education.");
  assert.equal(field('say "so", then'), '"say ""so"", then"');
});
