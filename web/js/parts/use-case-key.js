// The person's key on this device, while a page shows what it is for.
import { useEffect, useState } from "preact/hooks";
import { canHash, newKeyText, readKeyText } from "../lib/case-key.js";
import { forgetKey, keepKey, keptKey } from "../lib/key-store.js";
import { session } from "../lib/session.js";

/** @typedef {ReturnType<typeof useCaseKey>} CaseKeyState */

export function useCaseKey() {
  const person = session.value?.person.id || "";
  const [kept, setKept] = useState(/** @type {import("../lib/key-store.js").Kept | null | undefined} */ (undefined)); // undefined while unknown
  const [shown, setShown] = useState("");
  const [trouble, setTrouble] = useState(canHash() ? "" : "This page was not opened over a secure address, so the browser makes no key here.");
  useEffect(() => {
    if (canHash()) keptKey(person).then(found => setKept(found || null), () => setTrouble("This browser keeps nothing in this window, so the key cannot stay here."));
  }, [person]);
  const take = async (/** @type {string} */ text) => {
    const raw = await readKeyText(text);
    if (!raw) return false;
    setKept(await keepKey(person, raw));
    return true;
  };
  const make = async () => {
    const text = await newKeyText();
    if (await take(text)) setShown(text);
  };
  const forget = async () => {
    await forgetKey(person);
    setKept(null);
    setShown("");
  };
  return { kept, shown, trouble, take, make, forget, hide: () => setShown("") };
}
