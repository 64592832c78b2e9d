import assert from "node:assert/strict";
import { test } from "node:test";
import { ApiProblem } from "../js/lib/problem.js";
import { Atrium } from "../js/model/atrium.js";
import { Autosave } from "../js/model/autosave.js";
import { leftWords, ServerClock, spoken } from "../js/model/countdown.js";
import { canonical, emptyPlan, fromSaved } from "../js/model/plan-draft.js";
import { planDifferences } from "../js/model/plan-difference.js";

const plan = (/** @type {string} */ note) => ({ ...emptyPlan(), note });

/** A server that answers as told, and a clock that goes on when told. */
function outside() {
  /** @type {any} */
  const it = {
    /** @type {(() => void) | null} */ due: null, kept: null, /** @type {any[]} */ states: [], /** @type {any[]} */ sent: [], revision: 1, plan: null, status: "open", /** @type {unknown} */ fails: null, lost: false,
    send: async (/** @type {Api.Plan} */ one, /** @type {number} */ revision) => {
      if (it.fails) throw it.fails;
      if (revision !== it.revision) throw new ApiProblem(412, { title: "Changed meanwhile" });
      it.sent.push(one.note);
      Object.assign(it, { revision: revision + 1, plan: one });
      if (it.lost) throw new ApiProblem(0, {});
      return it.newest();
    },
    newest: async () => ({ revision: it.revision, plan: it.plan, saved_at: "10:00", status: it.status }),
    keep: (/** @type {unknown} */ kept) => { it.kept = kept; }, drop: () => { it.kept = null; },
    later: (/** @type {() => void} */ call) => { it.due = call; return () => { it.due = null; }; },
    tell: (/** @type {any} */ state) => it.states.push(state),
    get kind() { return it.states[it.states.length - 1]?.kind; },
  };
  return it;
}

test("the time left is the server's, whatever the browser's clock says", () => {
  const clock = new ServerClock("2026-03-01T10:00:00.000000Z", 5_000);
  assert.equal(clock.left("2026-03-01T10:20:00Z", 5_000), 20 * 60_000);
  assert.equal(clock.left("2026-03-01T10:20:00Z", 65_000), 19 * 60_000);
  assert.equal(clock.left("2026-03-01T10:20:00Z", 9_999_999), 0);
  assert.deepEqual([3_900_000, 754_200, 60_000, 45_001, 0].map(leftWords), ["1 h 05 min", "12 min 35 s", "1 min 00 s", "46 s", "0 s"]);
});

test("the time left is spoken at five minutes and at one, once each", () => {
  assert.equal(spoken(300_500, 299_500), "5 minutes left.");
  assert.equal(spoken(299_500, 298_500), "");
  assert.equal(spoken(60_500, 60_000), "1 minute left.");
  assert.equal(spoken(400_000, 50_000), "1 minute left.", "after a sleep only the last");
  assert.equal(spoken(800, 0), "The time is up.");
  assert.equal(spoken(0, 0), "");
});

test("changes are kept in the browser at once and saved together a moment later", async () => {
  const out = outside(), save = new Autosave(out, 1);
  save.change(plan("a"));
  save.change(plan("ab"));
  assert.deepEqual([out.kind, out.kept.plan.note, out.sent.length], ["changed", "ab", 0]);
  await save.flush();
  assert.deepEqual([out.kind, out.kept, out.sent, save.revision], ["saved", null, ["ab"], 2]);
});

test("a change during a save is saved after it, on top of it", async () => {
  const out = outside(), save = new Autosave(out, 1);
  save.change(plan("a"));
  const first = save.flush();
  save.change(plan("ab"));
  await first;
  assert.deepEqual([out.kept.plan.note, out.kept.revision], ["ab", 2]);
  await save.flush();
  assert.deepEqual(out.sent, ["a", "ab"]);
  assert.equal(out.kind, "saved");
});

test("without a network the plan stays in the browser, and goes out when it is back", async () => {
  const out = outside(), save = new Autosave(out, 1);
  out.fails = new ApiProblem(0, {});
  save.change(plan("a"));
  await save.flush();
  assert.deepEqual([out.kind, out.kept.plan.note], ["offline", "a"]);
  assert.ok(out.due, "it is tried again");
  out.fails = null;
  await save.flush();
  assert.deepEqual([out.kind, out.kept, out.sent], ["saved", null, ["a"]]);
});

test("a save whose answer got lost is no conflict", async () => {
  const out = outside(), save = new Autosave(out, 1);
  out.lost = true;
  save.change(plan("a"));
  await save.flush();
  assert.equal(out.kind, "offline");
  out.lost = false;
  await save.flush();
  assert.deepEqual([out.kind, save.revision, out.kept], ["saved", 2, null]);
});

test("a newer plan of elsewhere is never overwritten unasked", async () => {
  const out = outside(), save = new Autosave(out, 1);
  Object.assign(out, { revision: 4, plan: plan("theirs") });
  save.change(plan("mine"));
  await save.flush();
  assert.equal(out.kind, "stale");
  save.change(plan("mine too"));
  await save.flush();
  assert.deepEqual(out.sent, [], "nothing goes out before the choice");
  await save.settle(plan("mine too"), out.states[out.states.length - 2].theirs || out.states.find((/** @type {any} */ one) => one.theirs).theirs);
  assert.deepEqual([out.sent, out.kind, save.revision], [["mine too"], "saved", 5]);
});

test("a test that is over takes no more saves", async () => {
  const out = outside(), save = new Autosave(out, 1);
  out.fails = new ApiProblem(409, { type: "/problems/test-over" });
  save.change(plan("late"));
  await save.flush();
  assert.equal(out.kind, "over");
  out.fails = null;
  await save.flush();
  assert.deepEqual(out.sent, []);
});

test("a refused draft says why, and the next change is tried", async () => {
  const out = outside(), save = new Autosave(out, 1);
  out.fails = new ApiProblem(422, { errors: [{ location: "body.plan.note", message: "looks like a name" }] });
  save.change(plan("Mr X"));
  await save.flush();
  assert.equal(out.kind, "refused");
  out.fails = null;
  save.change(plan("x"));
  await save.flush();
  assert.equal(out.kind, "saved");
});

test("a saved plan comes back whole, and plans that say the same are the same", () => {
  assert.deepEqual(fromSaved(/** @type {any} */ ({ ablate: null, lesions: null, left_appendage: { state: "" } })), emptyPlan());
  assert.equal(canonical({ ablate: true, lesions: [{ lesion: "roof-line", closed: false }], left_appendage: { state: "kept" }, note: "" }), canonical({ left_appendage: { state: "kept" }, lesions: [{ lesion: "roof-line" }], ablate: true }));
  assert.notEqual(canonical(emptyPlan()), canonical({ ...emptyPlan(), ablate: false }));
});

test("what differs between two drafts is said in words", () => {
  const facts = /** @type {any} */ ({ chambers: [], lesions: [{ id: "roof-line", name: "Roof line" }], energies: [{ id: "cryo", name: "Cryothermy" }], block_tests: [], appendage_states: [{ id: "kept", name: "Kept" }], appendage_methods: [], steps: [], pacing_wires: [], reasons: [] });
  const mine = { ...emptyPlan(), ablate: true, lesions: [{ lesion: "roof-line", energy: "cryo", applications: 2 }] };
  assert.deepEqual(planDifferences(new Atrium(facts), mine, { ...emptyPlan(), ablate: true }), [{ what: "Roof line", mine: "Cryothermy, 2 applications", theirs: "-" }]);
});
