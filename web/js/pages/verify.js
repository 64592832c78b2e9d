// Checking a report by the code at its foot, and by its file: whether it matches the record. The file never leaves the device; browsers compute
// its fingerprint on secure origins only, and elsewhere the code alone is checked.
import { useState } from "preact/hooks";
import { get, withQuery } from "../lib/api.js";
import { html } from "../lib/html.js";
import { Field, TextField } from "../parts/field.js";
import { Page } from "../parts/page.js";
import { useAct } from "../parts/use-act.js";
import { Trouble } from "../parts/waiting.js";

/** The SHA-256 of a file, in hexadecimal. @param {File} file */
async function hashOf(file) {
  const sum = await crypto.subtle.digest("SHA-256", await file.arrayBuffer());
  return Array.from(new Uint8Array(sum), byte => byte.toString(16).padStart(2, "0")).join("");
}

/** @param {{query: URLSearchParams}} props code: what to begin with */
export function VerifyPage({ query }) {
  const [code, setCode] = useState(query.get("code") || "");
  const [file, setFile] = useState(/** @type {File | null} */ (null));
  const [found, setFound] = useState(/** @type {Api.Verified | null} */ (null));
  const { busy, problem, fault, act } = useAct("query");
  const check = (/** @type {Event} */ event) => {
    event.preventDefault();
    setFound(null);
    act("", async () => setFound(await get(withQuery("/report-check", { code, file: file && await hashOf(file) }))));
  };
  return html`<${Page} title="Check a report" lead="Every report carries a code that stands for every word in it. Here you learn whether it matches the record, and nothing of what the report holds.">
    <form onSubmit=${check}>
      <${TextField} label="Code" name="code" hint="Four groups of five, at the foot of every page; of a workbook on the sheet 'about'." required maxlength=${60} value=${code} fault=${fault("code")} onValue=${setCode} />
      ${globalThis.crypto.subtle && html`<${Field} label="The file (optional)" hint="To learn whether it was changed. It stays on this device: only its fingerprint is compared." control=${(/** @type {Record<string, unknown>} */ attributes) => html`
        <input ...${attributes} type="file" accept=".pdf,.xlsx,.zip" onChange=${(/** @type {any} */ event) => setFile(event.target.files[0] || null)} />`} />`}
      ${problem && html`<${Trouble} problem=${problem} />`}
      <button type="submit" class="main-act" disabled=${busy || code === ""}>Check it</button>
    </form>
    <div role="status">${found && html`<p class="overall">${found.matches ? "It matches." : "It does not match."}</p><p>${found.says}</p>`}</div>
  <//>`;
}
