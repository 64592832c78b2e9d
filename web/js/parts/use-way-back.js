// To the map and back: on a phone the map is not in sight of what leads to it. Choosing scrolls to the map, and a button leads back to
// the very line one came from.
import { useEffect, useRef, useState } from "preact/hooks";
import { html } from "../lib/html.js";

/**
 * @returns {{map: {current: HTMLElement | null}, show: (from: Element | null) => void, back: unknown}}
 * map: the ref of what is shown; back: the button, to put anywhere
 */
export function useWayBack() {
  const map = useRef(/** @type {HTMLElement | null} */ (null));
  const [from, setFrom] = useState(/** @type {HTMLElement | null} */ (null));
  useEffect(() => {
    if (!from) return undefined;
    const seen = new IntersectionObserver(([entry]) => { if (entry.isIntersecting) setFrom(null); }, { threshold: 1 });
    const wait = setTimeout(() => seen.observe(from), 300); // once the page has moved away from it
    return () => { clearTimeout(wait); seen.disconnect(); };
  }, [from]);
  const show = (/** @type {Element | null} */ element) => {
    if (!map.current || inSight(map.current)) return;
    map.current.scrollIntoView({ block: "start" });
    if (element instanceof HTMLElement) setFrom(element);
  };
  const goBack = () => {
    from?.scrollIntoView({ block: "center" });
    from?.focus({ preventScroll: true });
    setFrom(null);
  };
  return { map, show, back: from && html`<button type="button" class="way-back" onClick=${goBack}>Back to where you were</button>` };
}

/** Whether most of an element is in the window. @param {HTMLElement} element */
function inSight(element) {
  const { top, bottom, height } = element.getBoundingClientRect();
  return Math.min(bottom, innerHeight) - Math.max(top, 0) > Math.min(height, innerHeight) * 0.7;
}
