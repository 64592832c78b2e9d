// Which operations are behind which number of the director's view.
import assert from "node:assert/strict";
import { test } from "node:test";
import { behind, casesOf, quarterWords, sharesOf } from "../js/model/practice.js";

const share = (/** @type {string} */ of, /** @type {string[]} */ ids, /** @type {string[]} */ all) => ({ of, hits: ids.length, n: all.length, share: null, low: null, high: null, ids, all });

test("every share of a side can be opened by its name, and no two share one", () => {
  const side = /** @type {Api.Practice} */ ({
    n: 2, not_asked: [], says: "", says_of: "less", less: share("less", ["b"], ["a", "b"]), below: share("below", [], ["a", "b"]),
    patterns: [{ pattern: "persistent", less: share("less-in:persistent", [], []), scopes: [share("pattern:persistent:box", ["a"], ["a", "b"])] }],
    quarters: [{ name: "2026-Q1", less: share("quarter:2026-Q1", ["b"], ["b"]), below: share("quarter-below:2026-Q1", [], ["b"]) }], sites: [],
    steps: [{ id: "box", name: "The closed box", left_out: share("step:box", ["b"], ["a", "b"]), lesions: [{ id: "roof-line", name: "Roof line", left_out: share("lesion:roof-line", ["b"], ["a", "b"]) }] }],
  });
  const shares = sharesOf(side, id => id);
  assert.equal(shares.size, 8);
  assert.equal(shares.get("pattern:persistent:box")?.says, "persistent: box");
  assert.equal(shares.get("quarter:2026-Q1")?.says, "2026 Q1: less than the policy asks for");
  const items = [{ id: "a" }, { id: "b" }, { id: "c" }], less = shares.get("less");
  assert.ok(less);
  assert.deepEqual(behind(items, less.share), [{ id: "b" }]);
  assert.deepEqual(behind(items, less.share, true), [{ id: "a" }, { id: "b" }]);
});

test("a site that looks like nothing else keeps its name", () => assert.equal(quarterWords("Main-site"), "Main-site"));

test("an assessor's lists", () => {
  const row = /** @type {Api.AssessorRow} */ (/** @type {unknown} */ ({ cases: ["a", "b"], late: { cases: ["b"] }, returned: {} }));
  assert.deepEqual([casesOf(row, "signed"), casesOf(row, "late"), casesOf(row, "returned")], [["a", "b"], ["b"], []]);
});
