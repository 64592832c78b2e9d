// The service worker, which opens the application without a network, and the change to a newer build.
import { signal } from "@preact/signals";

/** Whether a newer build is on the device and waits for the person to let it take over. */
export const newerBuild = signal(false);

/** @type {ServiceWorkerRegistration | null} */
let registered = null;

let asked = false;

/** Starts keeping the application on this device. Nothing depends on it: a browser without it works with a network. */
export async function keepApplication() {
  if (!("serviceWorker" in navigator)) return; // an insecure origin, or a private window
  const wasThere = Boolean(navigator.serviceWorker.controller);
  navigator.serviceWorker.addEventListener("controllerchange", () => { if (asked) again(); }); // another window's change is not this one's
  try {
    const registration = await navigator.serviceWorker.register("/sw.js");
    registered = registration;
    const offer = () => { if (registration.waiting && wasThere) newerBuild.value = true; };
    offer();
    registration.addEventListener("updatefound", () => registration.installing?.addEventListener("statechange", offer));
    document.addEventListener("visibilitychange", () => { if (document.visibilityState === "visible") registration.update().catch(() => {}); });
  } catch { /* no network just now, or the browser refuses: the next start tries again */ }
}

/** Lets the newer build take over; the page opens again in it. Where it has taken over already, from another window, only that is left. */
export function takeNewerBuild() {
  asked = true;
  if (registered?.waiting) registered.waiting.postMessage("take over");
  else again();
}

function again() {
  asked = false;
  location.reload();
}
