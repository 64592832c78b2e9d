// Whether the window is a phone's: a few pages are built otherwise there, not only laid out otherwise.
import { signal } from "@preact/signals";

const query = matchMedia("screen and (max-width: 720px)");

export const narrow = signal(query.matches);

query.addEventListener("change", () => { narrow.value = query.matches; });
