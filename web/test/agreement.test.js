// Which cases are behind each count of the two accounts.
import assert from "node:assert/strict";
import { test } from "node:test";
import { behind, ofs, stepsBehind } from "../js/model/agreement.js";

const step = (/** @type {number} */ claimed) => ({ step: "roof-line", trainee: "trainee", supervisor: "supervisor", agreed: false, claimed });
const one = (/** @type {Partial<Api.AccountsDiffer>} */ what) => /** @type {Api.AccountsDiffer} */ ({
  case: "a", trainee: "ines", operated_on: "2026-01-02", operation: "mitral", signed_at: "2026-01-03T00:00:00Z", quarter: "2026-Q1", steps: [],
  role_claimed: "primary", role_seen: "primary", events_agreed: true, ...what,
});

test("a case is behind what it differs in, and nothing else", () => {
  const cases = [one({ case: "more", steps: [step(2), step(-1)] }), one({ case: "less", steps: [step(-1)], quarter: "2026-Q2" }), one({ case: "role", role_seen: "assistant" }), one({ case: "events", events_agreed: false })];
  const found = Object.fromEntries(ofs.map(({ id }) => [id, behind(cases, id).map(each => each.case)]));
  assert.deepEqual(found, { steps: ["more", "less"], claimed_more: ["more"], claimed_less: ["more", "less"], roles: ["role"], events: ["events"] });
  assert.deepEqual(behind(cases, "claimed_less", "2026-Q2").map(each => each.case), ["less"]);
  assert.deepEqual(stepsBehind(cases[0], "claimed_more").map(each => each.claimed), [2]);
});
