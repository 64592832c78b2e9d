// One polite live region for what happens without the focus moving.
import { signal } from "@preact/signals";

export const announced = signal("");

/** Says something to people who use a screen reader. @param {string} text */
export function announce(text) {
  announced.value = "";
  setTimeout(() => { announced.value = text; }, 60); // an unchanged text is not read again
}
