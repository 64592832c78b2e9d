// Signing out: what this device holds of the person goes with them, so what the server does not have is said first.
import { useState } from "preact/hooks";
import { html } from "../lib/html.js";
import { counted } from "../lib/numbers.js";
import { signOut } from "../lib/session.js";
import { sendNow, unsent } from "./outbox.js";
import { Trouble } from "./waiting.js";

export function Leaving() {
  const [left, setLeft] = useState(/** @type {{waiting: number, drafts: number} | null} */ (null));
  const [problem, setProblem] = useState(/** @type {unknown} */ (null));
  const go = () => signOut().catch(setProblem);
  const ask = async () => {
    setProblem(null);
    const now = await unsent().catch(() => ({ waiting: 0, drafts: 0 }));
    if (now.waiting + now.drafts === 0) return go();
    return setLeft(now);
  };
  const send = async () => { await sendNow(); setLeft(await unsent()); };
  const parts = left && [...(left.waiting ? [counted(left.waiting, "thing that was not sent yet", "things that were not sent yet")] : []), ...(left.drafts ? [counted(left.drafts, "unfinished form or unsigned sign-off", "unfinished forms or unsigned sign-offs")] : [])];
  return html`
    ${problem && html`<${Trouble} problem=${problem} />`}
    ${left && left.waiting + left.drafts === 0 && html`<p role="status">Everything has been sent.</p>`}
    ${left && left.waiting + left.drafts > 0 ? html`<div class="notice" role="alert">
      <p class="strong">Signing out deletes ${parts?.join(" and ")} from this device. Nobody else has them.</p>
      <div class="bar">${left.waiting > 0 && html`<button type="button" onClick=${send}>Send first</button>`}
        <button type="button" class="quiet" onClick=${go}>Sign out and delete</button><button type="button" class="quiet" onClick=${() => setLeft(null)}>Stay</button></div>
    </div>` : html`<button type="button" onClick=${ask}>Sign out</button>`}`;
}
