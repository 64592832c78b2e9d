// Everything wrong with a form, above it, each line leading to its field.
import { useLayoutEffect, useRef } from "preact/hooks";
import { html } from "../lib/html.js";

/**
 * @param {{faults: {field: string, says: string}[], title?: string}} props a new list takes the focus
 */
export function FaultSummary({ faults, title = "This cannot be sent yet" }) {
  const box = useRef(/** @type {HTMLElement | null} */ (null));
  useLayoutEffect(() => { if (faults.length > 0) box.current?.focus(); }, [faults]); // at once: never away from what the person has gone on to
  if (faults.length === 0) return null;
  const go = (/** @type {string} */ field) => (/** @type {Event} */ event) => {
    event.preventDefault();
    goTo(field);
  };
  return html`<div class="fault-summary" role="alert" tabindex="-1" ref=${box}>
    <p class="strong">${title}</p>
    <ul>${faults.map(({ field, says }) => html`<li>${field ? html`<a href=${`#${field}`} onClick=${go(field)}>${says}</a>` : says}</li>`)}</ul>
  </div>`;
}

/** Moves the focus to the field, or to the nearest one that holds it (af.ends is in af). @param {string} field */
export function goTo(field) {
  for (let name = field; name; name = name.replace(/[.[]?[^.[]*$/, "")) {
    const holder = [...document.querySelectorAll("[data-field]")].find(one => /** @type {HTMLElement} */ (one).dataset.field === name);
    const control = holder?.querySelector("input, select, textarea, button");
    if (control instanceof HTMLElement) {
      control.focus();
      return;
    }
  }
}

/** The faults a refused call names, as lines of a summary. @param {Map<string, string>} byField @param {string} [detail] */
export const asLines = (byField, detail = "") => {
  const lines = [...byField].map(([field, says]) => ({ field, says }));
  return lines.length > 0 || !detail ? lines : [{ field: "", says: detail }];
};
