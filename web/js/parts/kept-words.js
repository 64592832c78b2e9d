// What the privacy screen stopped in a field, beside the field: leave it out, or keep it and say why.
import { html } from "../lib/html.js";
import { reasonFor, without, withReason } from "../model/kept-words.js";
import { TextField } from "./field.js";

/**
 * @param {{stopped: import("../model/kept-words.js").Stopped[], field: string, text: string, overrides: Api.Override[], amiss?: string[],
 *   onText: (text: string) => void, onOverrides: (overrides: Api.Override[]) => void}} props
 * stopped: of the whole form; shown is what is in this field and still in its text; amiss: what was wrong with the reasons
 */
export function KeptWords({ stopped, field, text, overrides, amiss = [], onText, onOverrides }) {
  const here = stopped.filter(one => one.field === field && text.includes(one.excerpt));
  if (here.length === 0) return null;
  return html`<div class="notice kept-words" role="group" aria-label="This could identify the patient">
    <p class="strong" role="status">This could identify the patient.</p>
    <ul>${here.map(one => html`<${Words} key=${`${one.kind} ${one.excerpt}`} one=${one} reason=${reasonFor(overrides, one)}
      onLeave=${() => onText(without(text, one.excerpt))} onReason=${(/** @type {string} */ reason) => onOverrides(withReason(overrides, one, reason))} />`)}</ul>
    ${here.some(one => reasonFor(overrides, one) !== undefined) && amiss.map(says => html`<p class="fault" role="status">${says}.</p>`)}
  </div>`;
}

/** @param {{one: import("../model/kept-words.js").Stopped, reason?: string, onLeave: () => void, onReason: (reason: string) => void}} props */
const Words = ({ one, reason, onLeave, onReason }) => html`<li>
  <p><q>${one.excerpt}</q>: ${one.says}.${one.keepable ? "" : " It is never kept."}</p>
  <div class="bar">
    <button type="button" class="quiet" onClick=${onLeave}>Leave it out</button>
    ${one.keepable && reason === undefined && html`<button type="button" class="quiet" onClick=${() => onReason("")}>Keep it: say why</button>`}
  </div>
  ${one.keepable && reason !== undefined && html`<${TextField} label="Why it names no patient" hint="Three words or more, without the words themselves. A director reads it." maxlength=${300}
    value=${reason} onValue=${onReason} />`}
</li>`;
