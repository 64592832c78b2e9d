// Said on every page: what waits to be sent, and that a newer build is ready. Nothing is said when all is well.
import { html } from "../lib/html.js";
import { counted } from "../lib/numbers.js";
import { newerBuild, takeNewerBuild } from "../lib/worker.js";
import { connected, queueState } from "./outbox.js";

export function QueueNote() {
  const { count, stuck } = queueState.value;
  return html`${count > 0 && html`<aside class=${stuck ? "edge stuck" : "edge"} aria-label="Waiting to be sent"><a href="/waiting">${stuck ? `${counted(count, "thing waits", "things wait")} to be sent, and one needs you`
    : `${counted(count, "thing waits", "things wait")} to be sent`}</a>${!connected.value && html`<span>No connection</span>`}</aside>`}
    ${newerBuild.value && html`<aside class="edge" aria-label="Newer version"><span>A newer version of Isthmus is ready.</span> <button type="button" class="quiet" onClick=${takeNewerBuild}>Change to it</button></aside>`}`;
}
