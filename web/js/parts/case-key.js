// Finding a case by the local record number, which never leaves the browser: the key, and what it is explained with.
import { useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { post } from "../lib/api.js";
import { caseKey, plainNumber } from "../lib/case-key.js";
import { html } from "../lib/html.js";
import { at, membership } from "../lib/session.js";
import { TextField } from "./field.js";
import { Trouble } from "./waiting.js";

/** The key on this device: made, entered, shown once, forgotten. @param {{state: import("./use-case-key.js").CaseKeyState}} props */
export function KeyPanel({ state }) {
  const { kept, shown, trouble } = state;
  if (trouble) return html`<p class="notice">${trouble}</p>`;
  if (kept === undefined) return null;
  if (shown) return html`<div class="notice" role="status">
    <p class="strong">Write the key down or put it in your password store now: it is shown only this once.</p>
    <p><code class="secret">${shown}</code></p>
    <div class="bar"><button type="button" onClick=${state.hide}>I have kept it safe</button></div>
  </div>`;
  return kept ? html`<${KeptHere} state=${state} check=${kept.check} />` : html`<${NoKeyYet} state=${state} />`;
}

/** @param {{state: import("./use-case-key.js").CaseKeyState, check: string}} props */
function KeptHere({ state, check }) {
  const [sure, setSure] = useState(false);
  return html`<p>This device has your key; its last four characters are <code>${check}</code>. It stays here when you sign out.</p>
    ${sure ? html`<div class="notice"><p>Without the written key it cannot be had back, and what was found by it is found no more.</p>
      <div class="bar"><button type="button" onClick=${() => { setSure(false); state.forget(); }}>Forget it on this device</button><button type="button" class="quiet" onClick=${() => setSure(false)}>Cancel</button></div></div>`
    : html`<div class="bar"><button type="button" class="quiet" onClick=${() => setSure(true)}>Forget the key on this device</button></div>`}`;
}

/** @param {{state: import("./use-case-key.js").CaseKeyState}} props */
function NoKeyYet({ state }) {
  const [text, setText] = useState("");
  const [fault, setFault] = useState("");
  const enter = async (/** @type {Event} */ event) => {
    event.preventDefault();
    setFault(await state.take(text) ? "" : "This is no whole key: look for a mistyped character.");
  };
  return html`<p>There is no key on this device yet. Make one, once; on your other devices enter the same key.</p>
    <div class="bar"><button type="button" onClick=${state.make}>Make a key</button></div>
    <form class="narrow-form" novalidate onSubmit=${enter}>
      <${TextField} label="Or enter the key you have" autocomplete="off" maxlength=${120} value=${text} fault=${fault} onValue=${setText} />
      <button type="submit" class="quiet" disabled=${!text.trim()}>Use this key</button>
    </form>`;
}

/** How it works, and what can be lost. */
export const KeyExplained = () => html`<details class="as-table"><summary>How a case is found without its record number being stored</summary>
  <p>Your browser turns the record number into 64 characters with a key that only you have (HMAC-SHA-256). Only these characters are sent and stored. Whoever
    has the database, and whoever runs the server, can neither read the number from them nor try numbers until one fits: for that they would need your key.</p>
  <p>The key is made on this device and never sent. It is shown once, for you to keep safe, and can be entered on another device. Whoever else is to find your
    cases by their record numbers needs the same key: hand it over in person.</p>
  <p><strong>If the key is lost</strong> from every device and from where you kept it, nobody can bring it back. The cases and their follow-ups stay whole and are
    found in the lists as before, by date, operation and supervisor. Only finding them by record number is lost: make a new key and enter the number of each case again.</p>
</details>`;

/** Gives a case its record number, or finds one by it.
 * @template T @param {{kept: import("../lib/key-store.js").Kept, label: string, act: string, path: string, done: string, onDone: (answer: T) => void}} props */
export function NumberForm({ kept, label, act, path, done, onDone }) {
  const [number, setNumber] = useState("");
  const [problem, setProblem] = useState(/** @type {unknown} */ (null));
  const send = async (/** @type {Event} */ event) => {
    event.preventDefault();
    setProblem(null);
    try {
      const case_key = await caseKey(kept.key, membership.value?.programme || "", number);
      const answer = /** @type {T} */ (await post(at(path), { case_key }));
      setNumber("");
      if (done) announce(done);
      onDone(answer);
    } catch (error) {
      setProblem(error);
    }
  };
  return html`<form class="narrow-form" novalidate autocomplete="off" onSubmit=${send}>
    ${problem && html`<${Trouble} problem=${problem} />`}
    <${TextField} label=${label} hint="It stays in this browser: only its keyed hash is sent." autocomplete="off" maxlength=${60} value=${number} onValue=${setNumber} />
    <button type="submit" disabled=${!plainNumber(number)}>${act}</button>
  </form>`;
}
