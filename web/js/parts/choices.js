// One of several: a ladder of full-width rungs, or a row of joined segments. Both are radio buttons beneath.
import { useId } from "preact/hooks";
import { html } from "../lib/html.js";

/**
 * @param {{legend: string, hint?: string, fault?: string, name: string, value: string, options: {id: string, name: string}[], onValue: (id: string) => void}} props
 */
export function Ladder({ legend, hint, fault, name, value, options, onValue }) {
  const id = useId();
  const described = [hint && `${id}-hint`, fault && `${id}-fault`].filter(Boolean).join(" ") || undefined;
  return html`<fieldset class="field" data-field=${name} aria-describedby=${described}>
    <legend>${legend}</legend>
    ${hint && html`<p class="hint" id=${`${id}-hint`}>${hint}</p>`}
    <div class="ladder">
      ${options.map(option => html`<label class="rung">
        <input type="radio" name=${`${id}-${name}`} value=${option.id} checked=${option.id === value}
          onChange=${() => onValue(option.id)} /><span>${option.name}</span>
      </label>`)}
    </div>
    ${fault && html`<p class="fault" id=${`${id}-fault`}>${fault}</p>`}
  </fieldset>`;
}

/**
 * `theirs` is the other account's choice: outlined where it differs from this one, and said in words.
 * @param {{label: string, value: string, options: {id: string, name: string}[], onValue: (id: string) => void, theirs?: string, theirWords?: string}} props
 */
export function Segments({ label, value, options, onValue, theirs, theirWords }) {
  const id = useId();
  const differs = theirs !== undefined && theirs !== value;
  return html`<div class="segments-row">
    <span class="segments-label" id=${id}>${label}</span>
    <span class="segments" role="radiogroup" aria-labelledby=${id} aria-describedby=${differs ? `${id}-differs` : undefined}>
      ${options.map(option => html`<label class=${differs && option.id === theirs ? "segment theirs" : "segment"}>
        <input type="radio" name=${id} value=${option.id} checked=${option.id === value} aria-label=${`${label}: ${option.name}`}
          onChange=${() => onValue(option.id)} /><span>${option.name}</span>
      </label>`)}
    </span>
    ${differs && html`<span class="differs" id=${`${id}-differs`}>${theirWords}</span>`}
  </div>`;
}
