// The service worker, which opens the application without a network, and the change to a newer build.
import { signal } from "@preact/signals";

/** Whether a newer build is on the device and waits for the person to let it take over. */
export const newerBuild = signal(false);

/** @type {ServiceWorker | null} */
let newer = null;

/** Starts keeping the application on this device. Nothing depends on it: a browser without it works with a network. */
export async function keepApplication() {
  if (!("serviceWorker" in navigator)) return; // an insecure origin, or a private window
  const wasThere = Boolean(navigator.serviceWorker.controller);
  let reloading = false;
  navigator.serviceWorker.addEventListener("controllerchange", () => {
    if (!wasThere || reloading) return; // the first worker takes nothing over
    reloading = true;
    if (newer) location.reload();
  });
  try {
    const registration = await navigator.serviceWorker.register("/sw.js");
    const offer = () => {
      if (!registration.waiting || !wasThere) return;
      newer = registration.waiting;
      newerBuild.value = true;
    };
    offer();
    registration.addEventListener("updatefound", () => registration.installing?.addEventListener("statechange", offer));
    document.addEventListener("visibilitychange", () => { if (document.visibilityState === "visible") registration.update().catch(() => {}); });
  } catch { /* no network just now, or the browser refuses: the next start tries again */ }
}

/** Lets the newer build take over; the page opens again in it. */
export const takeNewerBuild = () => newer?.postMessage("take over");
