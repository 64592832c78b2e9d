// What was entered here beside what the server has: every difference, and the person's choice. Nothing is merged.
import { announce } from "../lib/announce.js";
import { html } from "../lib/html.js";
import { differencesOf } from "../model/queue-difference.js";
import { settle, withdraw } from "./outbox.js";

/** @param {{entry: import("../model/queue.js").Entry, name: string}} props name: unlike that of any other entry on the page */
export function BesideServer({ entry, name }) {
  const rows = differencesOf(entry.body, entry.theirs?.body);
  const closed = entry.theirs?.done;
  const mine = () => { settle(entry.id, entry.body); announce("Yours goes on top of the newer one."); };
  const theirs = () => { withdraw(entry.id); announce("The one Isthmus has is kept. Yours is deleted."); };
  return html`<section class="notice" aria-label=${`Two versions of ${name}`}>
    <p class="strong">${closed ? "This was closed elsewhere meanwhile, so that it cannot be changed any more." : "This was changed elsewhere meanwhile. Nothing is sent until you choose."}</p>
    ${rows.length === 0 ? html`<p>Both say the same.</p>` : html`<div class="scroll" tabindex="0" role="region" aria-label=${`What differs in ${name}`}><table>
      <thead><tr><th scope="col">What differs</th><th scope="col">On this device</th><th scope="col">In Isthmus</th></tr></thead>
      <tbody>${rows.map(row => html`<tr><th scope="row">${row.what}</th><td>${row.mine}</td><td>${row.theirs}</td></tr>`)}</tbody>
    </table></div>`}
    <div class="bar">
      ${!closed && html`<button type="button" onClick=${mine}>Send what is on this device</button>`}
      <button type="button" class="quiet" onClick=${theirs}>Keep what Isthmus has</button>
    </div>
  </section>`;
}
