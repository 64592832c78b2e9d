// Said on every page: what waits to be sent, and that a newer build is ready. Nothing is said when all is well.
import { html } from "../lib/html.js";
import { counted } from "../lib/numbers.js";
import { newerBuild, takeNewerBuild } from "../lib/worker.js";
import { connected, queueState } from "./outbox.js";

export function QueueNote() {
  const { count, stuck } = queueState.value;
  return html`${count > 0 && html`<p class=${stuck ? "edge stuck" : "edge"}><a href="/waiting">${stuck ? `${counted(count, "thing waits", "things wait")} to be sent, and one needs you`
    : `${counted(count, "thing waits", "things wait")} to be sent`}</a>${!connected.value && html`<span>No connection</span>`}</p>`}
    ${newerBuild.value && html`<p class="edge">A newer version of Isthmus is ready. <button type="button" class="quiet" onClick=${takeNewerBuild}>Change to it</button></p>`}`;
}
