import assert from "node:assert/strict";
import { test } from "node:test";
import { caseKey, check, hmac, importKey, keyText, newKeyText, plainNumber, readKeyText } from "../js/lib/case-key.js";
import { dueWords, emptyFollowUp, missingIn, monthToOffer, monthWords, openMonths, toSend } from "../js/model/follow-up.js";

const bytes = (/** @type {string} */ hex) => new Uint8Array((hex.match(/../g) || []).map(two => parseInt(two, 16)));
const ascii = (/** @type {string} */ text) => new Uint8Array(new TextEncoder().encode(text));

// RFC 4231, sections 4.2 to 4.8: HMAC-SHA-256 test cases 1 to 7; case 5 there is cut to 128 bits.
const vectors = [
  ["0b".repeat(20), ascii("Hi There"), "b0344c61d8db38535ca8afceaf0bf12b881dc200c9833da726e9376c2e32cff7"],
  ["4a656665", ascii("what do ya want for nothing?"), "5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843"],
  ["aa".repeat(20), bytes("dd".repeat(50)), "773ea91e36800e46854db8ebd09181a72959098b3ef8c122d9635514ced565fe"],
  ["0102030405060708090a0b0c0d0e0f10111213141516171819", bytes("cd".repeat(50)), "82558a389a443c0ea4cc819899f2083a85f0faa3e578f8077a2e3ff46729665b"],
  ["0c".repeat(20), ascii("Test With Truncation"), "a3b6167473100ee06e0c796c2955552b"],
  ["aa".repeat(131), ascii("Test Using Larger Than Block-Size Key - Hash Key First"), "60e431591ee0b67f0d8a26aacbf5b77f8e0bc6213728c5140546040f0ee37f54"],
  ["aa".repeat(131), ascii("This is a test using a larger than block-size key and a larger than block-size data. The key needs to be hashed before being used by the HMAC algorithm."), "9b09ffa71b942fcb27635fbcd5b0e944bfdc63644f0713938a7f51535c3a35e2"],
];

test("the keyed hash is HMAC-SHA-256 (RFC 4231, test cases 1 to 7)", async () => {
  for (const [key, message, want] of /** @type {[string, Uint8Array<ArrayBuffer>, string][]} */ (vectors)) {
    const got = await hmac(await importKey(bytes(key)), message);
    assert.equal(got.slice(0, want.length), want);
    assert.equal(got.length, 64);
  }
});

test("a case key does not depend on the way the number is written, but on programme and key", async () => {
  const key = await importKey(bytes("01".repeat(32)));
  assert.equal(plainNumber(" ab-12 34/5 "), "AB12345");
  assert.equal(await caseKey(key, "north", "ab-12 345"), await caseKey(key, "north", "AB12345"));
  assert.notEqual(await caseKey(key, "north", "AB12345"), await caseKey(key, "south", "AB12345"));
  assert.notEqual(await caseKey(key, "north", "AB12345"), await caseKey(await importKey(bytes("02".repeat(32))), "north", "AB12345"));
  await assert.rejects(crypto.subtle.exportKey("raw", key), "a kept key must not be readable");
});

test("a key is read from its text, and no mistyped one", async () => {
  const raw = bytes("00ff10".repeat(10) + "a5c3");
  const text = await keyText(raw);
  assert.match(text, /^([0-9A-Z]{4} ){13}[0-9A-Z]{4}$/);
  assert.deepEqual(await readKeyText(text), raw);
  assert.deepEqual(await readKeyText(text.toLowerCase().replaceAll(" ", "-").replaceAll("0", "o").replaceAll("1", "l")), raw);
  assert.ok(text.endsWith(await check(raw)));
  for (let i = 0; i < text.length; i++) if (text[i] !== " ") assert.equal(await readKeyText(text.slice(0, i) + (text[i] === "7" ? "8" : "7") + text.slice(i + 1)), null, `place ${i}`);
  for (const wrong of ["", "7", text.slice(5), `${text} 7777`, text.replace(/^./, "U")]) assert.equal(await readKeyText(wrong), null);
  assert.notEqual(await newKeyText(), await newKeyText());
});

test("of a follow-up nothing is guessed that was not asked", () => {
  assert.deepEqual(missingIn(emptyFollowUp(0)).map(line => line.field), ["month", "rhythm", "monitoring", "arrhythmia", "antiarrhythmic"]);
  const holter = { ...emptyFollowUp(3), rhythm: "sinus", monitoring: "ambulatory", arrhythmia: "none", antiarrhythmic: "none", note: "  " };
  assert.deepEqual(missingIn(holter).map(line => line.field), ["monitoring_hours"]);
  const sent = toSend({ ...holter, monitoring: "single-ecg", monitoring_hours: 24 });
  assert.equal(sent.monitoring_hours, 0);
  assert.equal(sent.note, undefined);
});

test("the month that is due now is offered first, and none ahead", () => {
  const schedule = /** @type {Api.Due[]} */ ([
    { month: 3, on: "2026-01-01", state: "done" }, { month: 6, on: "2026-04-01", state: "late" }, { month: 12, on: "2026-10-01", state: "due" }, { month: 24, on: "2027-10-01", state: "later" },
  ]);
  assert.equal(monthToOffer(schedule), 12);
  assert.equal(monthToOffer([]), 0);
  assert.deepEqual(openMonths(schedule), [6, 12]);
  assert.equal(monthWords(24), "2 years");
  assert.equal(dueWords(schedule[1]), "6 months: late, 1 Apr 2026");
});
