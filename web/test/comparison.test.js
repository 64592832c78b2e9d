import assert from "node:assert/strict";
import { test } from "node:test";
import { bothGrades, differenceAt, grouped, inShort, litOn, markOn } from "../js/model/comparison.js";

/** @param {Partial<Api.Difference>} one */
const difference = one => /** @type {Api.Difference} */ ({ topic: "lesion", about: "Roof line", yours: "not made", theirs: "cryothermy", means: "Why.", ...one });
/** @param {Partial<Api.Place>} one */
const place = one => /** @type {Api.Place} */ ({ chamber: "left-atrium", at: [0, 0, 1], ...one });

test("differences keep their number under their headings, and a strange topic is not lost", () => {
  const groups = grouped([difference({ topic: "aftercare" }), difference({}), difference({ topic: "weather" }), difference({ topic: "delivery" })]);
  assert.deepEqual(groups.map(({ heading, items }) => [heading, items.map(({ index }) => index)]), [["The lesions", [1, 3]], ["What follows the operation", [0]], ["Besides", [2]]]);
});

test("a difference lights its own lesion or circuit on each map", () => {
  const one = difference({ place: place({}), their_place: place({ lesion: 3 }) });
  assert.deepEqual([...litOn(one, "yours")], ["difference"]);
  assert.deepEqual([...litOn(one, "theirs")], ["difference", "lesion:3"]);
  assert.deepEqual([...litOn(difference({ place: place({ chamber: "right-atrium", circuit: 2 }) }), "yours")], ["difference", "circuit:right-atrium:2"]);
  assert.equal(litOn(undefined, "yours").size, 0);
  assert.equal(markOn(one, 4, "theirs")[0].name, "Difference 5. Roof line: cryothermy");
  assert.deepEqual(markOn(difference({}), 0, "yours"), []);
});

test("what is pressed on a map finds its difference", () => {
  const list = [difference({}), difference({ place: place({ lesion: 0 }), their_place: place({ lesion: 1 }) })];
  assert.equal(differenceAt(list, "yours", "lesion:0"), 1);
  assert.equal(differenceAt(list, "theirs", "lesion:0"), -1);
  assert.equal(differenceAt(list, "yours", "difference"), -1);
});

test("two plans in short name the lesions left out and the circuits left", () => {
  const comparison = /** @type {Api.Comparison} */ ({
    yours: { letter: "B", score: 83.5, unsafe: false }, expert: { grade: { letter: "A+", score: 100 } },
    differences: [difference({}), difference({ about: "A drawn line" }), difference({ about: "Floor line", yours: "cryothermy", theirs: "not made" }), difference({ topic: "effect", about: "A circuit round both cavae", theirs: "closed" })],
  });
  assert.equal(bothGrades(comparison, "Your plan"), "Your plan B, 83.5 of 100; the expert's A+, 100 of 100.");
  assert.equal(inShort(comparison.differences), "4 differences; only the expert makes the roof line and a drawn line; the expert closes 1 circuit that is left here.");
  assert.match(inShort([]), /No difference/);
});
