// Real addresses without reloading: links of this site are followed here, and the browser's back and forward work.
import { signal } from "@preact/signals";

/** Where the person is. `moves` counts navigations, so that a page knows whether it was opened or navigated to. */
export const place = signal({ path: location.pathname, query: new URLSearchParams(location.search), moves: 0 });

function read() {
  place.value = { path: location.pathname, query: new URLSearchParams(location.search), moves: place.peek().moves + 1 };
}

/** @param {string} to @param {{replace?: boolean}} [how] */
export function navigate(to, how = {}) {
  history[how.replace ? "replaceState" : "pushState"](null, "", to);
  read();
  scrollTo(0, 0);
}

export function followLinks() {
  addEventListener("popstate", read);
  document.addEventListener("click", event => {
    if (event.defaultPrevented || event.button !== 0 || event.metaKey || event.ctrlKey || event.shiftKey || event.altKey) return;
    const link = event.target instanceof Element ? event.target.closest("a[href]") : null;
    if (!link || link.hasAttribute("target") || link.hasAttribute("download")) return;
    const url = new URL(/** @type {string} */ (link.getAttribute("href")), location.href);
    if (url.origin !== location.origin || isServed(url.pathname) || (url.hash && url.pathname === location.pathname)) return;
    event.preventDefault();
    navigate(url.pathname + url.search);
  });
}

/** Paths the server answers itself. @param {string} path */
const isServed = path => /^\/(api|docs|openapi\.json|healthz|readyz)(\/|$)/.test(path);
