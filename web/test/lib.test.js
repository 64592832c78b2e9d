import assert from "node:assert/strict";
import { test } from "node:test";
import { get, listeners, post, put, withQuery } from "../js/lib/api.js";
import { ageWords, dateEntry, dayWords, today } from "../js/lib/days.js";
import { inUnit, measured, points } from "../js/lib/numbers.js";
import { ApiProblem, inWords, waitWords } from "../js/lib/problem.js";
import { match, safeReturn } from "../js/lib/route.js";
import { uuid } from "../js/lib/uuid.js";
import { listed, word } from "../js/lib/words.js";

test("paths are matched part by part", () => {
  assert.deepEqual(match("/cases/:case/edit", "/cases/7/edit"), { case: "7" });
  assert.deepEqual(match("/cases/:case", "/cases/a%20b/"), { case: "a b" });
  assert.equal(match("/cases/:case", "/cases"), null);
  assert.equal(match("/cases/:case", "/cases//"), null);
  assert.equal(match("/cases", "/casebook"), null);
  assert.deepEqual(match("/cases/:case", "/cases/%zz"), { case: "%zz" });
});

test("signing in returns only to this site", () => {
  for (const wanted of [null, "", "//elsewhere", "https://elsewhere", "/\\elsewhere", "/sign-in?return=/x"]) assert.equal(safeReturn(wanted), "/");
  assert.equal(safeReturn("/cases?status=draft"), "/cases?status=draft");
});

test("faults are found by the field they are about", () => {
  const problem = new ApiProblem(422, { errors: [{ location: "body.record.af.ends", message: "unknown" }, { location: "body.record.af.ends", message: "choose one" }, { location: "query.limit", message: "too large" }, { message: "other" }] });
  assert.deepEqual([...problem.byField("record")], [["af.ends", "Unknown; Choose one"], ["query.limit", "Too large"], ["", "Other"]]);
});

test("every failure says what to do next", () => {
  for (const status of [0, 401, 403, 404, 409, 412, 422, 429, 500]) assert.ok(inWords(new ApiProblem(status, { title: "t", detail: "d" })).next, String(status));
  assert.ok(inWords(new TypeError("x")).next);
  assert.match(waitWords(600), /10 minutes/);
});

/** Runs with fetch answering as told; gives the request it got. @param {() => Response | Promise<never>} answer @param {() => Promise<unknown>} act */
async function withFetch(answer, act) {
  const before = globalThis.fetch;
  /** @type {{path: string, init: RequestInit}[]} */
  const asked = [];
  globalThis.fetch = /** @type {any} */ (async (/** @type {string} */ path, /** @type {RequestInit} */ init) => { asked.push({ path, init }); return answer(); });
  const outcome = await act().catch(error => error);
  globalThis.fetch = before;
  return { outcome, path: asked[0].path, init: asked[0].init, headers: new Headers(asked[0].init.headers) };
}

test("writes carry the revision they replace and the key of their form", async () => {
  const changed = await withFetch(() => Response.json({ ok: 1 }), () => put("/x", { a: 1 }, { revision: 3 }));
  assert.equal(changed.headers.get("If-Match"), '"3"');
  assert.equal(changed.init.body, '{"a":1}');
  assert.equal(changed.path, "/api/x");
  const created = await withFetch(() => Response.json({ ok: 1 }), () => post("/x", {}, { key: "k" }));
  assert.equal(created.headers.get("Idempotency-Key"), "k");
  assert.deepEqual(created.outcome, { ok: 1 });
});

test("a failed call is a problem, an unreachable server is offline, an ended session is told", async () => {
  let ended = 0;
  listeners.signedOut = () => { ended++; };
  const refused = await withFetch(() => Response.json({ title: "t", request_id: "r" }, { status: 429, headers: { "Retry-After": "30" } }), () => get("/x"));
  assert.equal(refused.outcome.retryAfter, 30);
  const away = await withFetch(() => Promise.reject(new TypeError("failed to fetch")), () => get("/x"));
  assert.equal(away.outcome.offline, true);
  await withFetch(() => new Response("no", { status: 401 }), () => get("/x"));
  await withFetch(() => new Response("no", { status: 401 }), () => get("/session"));
  assert.equal(ended, 1);
});

test("numbers carry unit, interval and n", () => {
  assert.equal(inUnit(1, "cases"), "1 case");
  assert.equal(inUnit(0.8, "share"), "80\u00a0%");
  assert.equal(points(-9.5), "\u22129.5");
  assert.equal(measured({ value: 0.73, target: 0.8, unit: "share", n: 15, interval: { low: 0.52, high: 0.88, level: 0.9, method: "Wilson" } }), "73\u00a0% (52 to 88) of 15, target 80\u00a0%");
  assert.equal(measured({ value: 2.5, target: 3.77, unit: "chart", n: 15, interval: { low: 0.45, high: 0.83, level: 0.9, method: "Wilson" } }), "score 2.5 of 3.77 after 15 cases, 45 to 83\u00a0% successes");
  assert.equal(measured({ value: 0.634, target: 0.7, unit: "phi", n: 9, interval: { low: 0.41, high: 0.8, level: 0.9, method: "F" } }), "phi 0.63 (0.41 to 0.80) from 9 cases, target 0.70");
  assert.equal(measured({ value: 0, target: 0.7, unit: "phi", n: 9 }), "phi not known, target 0.70");
  assert.equal(measured({ value: 1, target: 2, unit: "topics", n: 3 }), "1 of 2 topics");
  assert.equal(inUnit(0.7, "phi"), "phi 0.70");
  assert.equal(measured({ value: 7, target: 12, unit: "cases", n: 7 }), "7 of 12 cases");
  assert.equal(measured({ value: 11, target: 8, unit: "cases", n: 11 }), "11 cases, target 8");
});

test("days at every precision", () => {
  assert.equal(dayWords("2026-03-14"), "14 Mar 2026");
  assert.equal(dayWords("2026-W11"), "week 11 of 2026");
  assert.equal(dayWords("2026-03"), "Mar 2026");
  assert.equal(dayWords(""), "");
  assert.equal(today(new Date(2026, 2, 4)), "2026-03-04");
  assert.equal(ageWords(1), "1 day ago");
  assert.equal(dateEntry("week").type, "week");
});

test("words, lists, queries and keys", () => {
  assert.equal(word("long-standing-persistent"), "long-standing persistent");
  assert.equal(word("new-thing"), "new thing");
  assert.equal(listed(["a", "b", "c"]), "a, b and c");
  assert.equal(withQuery("/x", { a: "1 2", b: "", c: undefined }), "/x?a=1+2");
  assert.match(uuid(), /^[0-9a-f]{8}-[0-9a-f]{4}-4[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
  assert.notEqual(uuid(), uuid());
});
