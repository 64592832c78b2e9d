// Parts of a page of which one is shown: tabs with the arrow keys, as the ARIA pattern has them.
import { useId, useRef } from "preact/hooks";
import { html } from "../lib/html.js";

/** @param {{label: string, tabs: {id: string, name: string}[], value: string, onValue: (id: string) => void, children?: unknown}} props */
export function Tabs({ label, tabs, value, onValue, children }) {
  const id = useId(), list = useRef(/** @type {HTMLElement | null} */ (null));
  const onKey = (/** @type {KeyboardEvent} */ event) => {
    const step = event.key === "ArrowRight" ? 1 : event.key === "ArrowLeft" ? -1 : 0;
    if (step === 0) return;
    event.preventDefault();
    const next = (tabs.findIndex(tab => tab.id === value) + step + tabs.length) % tabs.length;
    onValue(tabs[next].id);
    /** @type {HTMLElement | undefined} */ (list.current?.querySelectorAll("[role=tab]")[next])?.focus();
  };
  return html`<div class="tabs" role="tablist" aria-label=${label} ref=${list} onKeyDown=${onKey}>${tabs.map(tab => html`<button type="button" role="tab" id=${`${id}-${tab.id}`}
      aria-selected=${tab.id === value} aria-controls=${`${id}-panel`} tabindex=${tab.id === value ? 0 : -1} onClick=${() => onValue(tab.id)}>${tab.name}</button>`)}</div>
    <div role="tabpanel" id=${`${id}-panel`} aria-labelledby=${`${id}-${value}`}>${children}</div>`;
}
