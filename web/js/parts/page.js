// The frame of every page: its title, in the window too, and where the focus goes after navigating.
import { useEffect, useLayoutEffect, useRef } from "preact/hooks";
import { html } from "../lib/html.js";
import { place } from "../lib/navigate.js";

let focusedMove = 0; // the navigation whose page already has the focus

/**
 * @param {{title: string, lead?: unknown, wide?: boolean, kind?: string, children?: unknown}} props
 */
export function Page({ title, lead, kind = "", children }) {
  const heading = useRef(/** @type {HTMLElement | null} */ (null));
  useLayoutEffect(() => { document.title = `${title} · Isthmus`; }, [title]);
  useEffect(() => {
    if (place.peek().moves === focusedMove) return;
    focusedMove = place.peek().moves;
    heading.current?.focus({ preventScroll: true });
  }, [place.value.path]);
  return html`<main id="main" class=${`page ${kind}`}>
    <header class="head">
      <h1 tabindex="-1" ref=${heading}>${title}</h1>
      ${lead && html`<p class="lead">${lead}</p>`}
    </header>
    ${children}
  </main>`;
}
