// A signature as it is kept: name, time, meaning, when the signer proved who they are, and the whole hash it is bound to.
import { useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { timeWords } from "../lib/days.js";
import { html } from "../lib/html.js";
import { inGroups } from "../model/case-changes.js";

/** @param {{signOff: Api.SignOff}} props */
export const Signature = ({ signOff }) => html`<dl class="facts signature">
  <dt>Signed by</dt><dd>${signOff.assessor_name}</dd>
  <dt>Time of the signature</dt><dd><time datetime=${signOff.signed_at}>${timeWords(signOff.signed_at)}</time></dd>
  <dt>Meaning</dt><dd>“${signOff.meaning}”</dd>
  <dt>Identity proved</dt><dd>${signOff.proved_at ? html`<time datetime=${signOff.proved_at}>${timeWords(signOff.proved_at)}</time>` : "not kept when this was signed"}</dd>
  <dt>Bound to</dt><dd>version ${signOff.case_version}</dd>
  <dt>Content, SHA-256</dt><dd><${Hash} hash=${signOff.content_hash} /></dd>
</dl>`;

/** A whole hash in groups, to be read or copied. @param {{hash: string}} props */
export function Hash({ hash }) {
  const [copied, setCopied] = useState(false);
  const copy = async () => {
    try {
      await navigator.clipboard.writeText(hash);
      setCopied(true);
      announce("Copied.");
    } catch {
      announce("The browser does not let it be copied: select it by hand.");
    }
  };
  return html`<code class="hash">${inGroups(hash).map(group => html`<span>${group}</span> `)}</code>
    <button type="button" class="quiet small-act" onClick=${copy}>${copied ? "Copied" : "Copy"}<span class="unseen"> the hash</span></button>`;
}
