// What was entered on this device and waits to be sent: its state, what went wrong, and what to do.
import { useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { timeWords } from "../lib/days.js";
import { html } from "../lib/html.js";
import { membership } from "../lib/session.js";
import { sendables } from "../model/sendable.js";
import { BesideServer } from "../parts/beside-server.js";
import { connected, onItsWay, sendNow, tryAgain, waiting, withdraw } from "../parts/outbox.js";
import { Page } from "../parts/page.js";

export function WaitingPage() {
  const entries = waiting.value;
  const send = () => { announce("Sending."); sendNow(); };
  return html`<${Page} title="Waiting to be sent" lead="What you enter is kept on this device until Isthmus has it. It is sent by itself, in the order you entered it.">
    ${entries.length === 0 ? html`<p class="state">Nothing waits. Everything you entered here has reached Isthmus.</p>` : html`
      <div class="bar"><button type="button" disabled=${onItsWay.value !== ""} onClick=${send}>Send now</button>
        ${!connected.value && html`<p class="small">No connection to Isthmus. It is tried again by itself.</p>`}</div>
      <ol class="rows queue">${entries.map((entry, i) => html`<li key=${entry.id}><${Waiting} entry=${entry} place=${i + 1} /></li>`)}</ol>
      <p class="small">What waits is on this device only. Signing out deletes it, after asking. Clearing the browser's data deletes it without asking.</p>`}
  <//>`;
}

/** @param {{entry: import("../model/queue.js").Entry, place: number}} props */
function Waiting({ entry, place }) {
  const kind = sendables(membership.value?.programme || "")[entry.kind];
  const sending = onItsWay.value === entry.id;
  const name = entry.name || kind?.title || entry.kind;
  return html`<article class="queued" aria-label=${name}>
    <p class="queued-head"><span class="strong">${name}</span> <span class=${entry.state === "waiting" ? "small" : "small warn"}>${stateWords(entry, sending, Boolean(kind))}</span></p>
    <p class="small">Entered ${timeWords(entry.made)}${entry.then === "submit" ? ", to be submitted for sign-off" : ""}</p>
    ${entry.state === "refused" && html`<${Refusal} fault=${entry.fault} />`}
    ${entry.state === "conflict" && html`<${BesideServer} entry=${entry} name=${`entry ${place}, ${name}`} />`}
    <div class="bar">
      ${kind?.screen && entry.state !== "conflict" && html`<a class="button quiet" href=${kind.screen(entry)} aria-label=${`Open ${name}`}>Open</a>`}
      ${entry.state === "refused" && html`<button type="button" class="quiet" onClick=${() => tryAgain(entry.id)}>Try again</button>`}
      ${!sending && html`<${GiveUp} name=${name} onYes=${() => { withdraw(entry.id); announce("Deleted."); }} />`}
    </div>
  </article>`;
}

/** @param {import("../model/queue.js").Entry} entry @param {boolean} sending @param {boolean} known */
function stateWords(entry, sending, known) {
  if (sending) return "being sent";
  if (!known) return "waits for a newer version of Isthmus";
  if (entry.state === "conflict") return "changed elsewhere too: choose";
  if (entry.state === "refused") return "refused: correct it";
  return entry.saved ? "saved, waits to be submitted" : "waits";
}

/** @param {{fault?: import("../model/queue.js").Fault}} props */
const Refusal = ({ fault }) => html`<div class="notice"><p class="strong">${fault?.title || "This was refused"}</p>
  ${fault && fault.fields.length > 0 ? html`<ul>${fault.fields.map(([field, says]) => html`<li>${field ? `${field.replaceAll("_", " ")}: ` : ""}${says}</li>`)}</ul>` : html`<p>${fault?.says}</p>`}</div>`;

/** Deleting asks once more: nobody else has it. @param {{name: string, onYes: () => void}} props */
function GiveUp({ name, onYes }) {
  const [asked, ask] = useState(false);
  if (!asked) return html`<button type="button" class="quiet" aria-label=${`Delete ${name}`} onClick=${() => ask(true)}>Delete</button>`;
  return html`<p class="strong">Delete it from this device? It is nowhere else as it is here.</p>
    <button type="button" onClick=${onYes}>Delete it</button><button type="button" class="quiet" onClick=${() => ask(false)}>Keep it</button>`;
}
