// The usual answers to a question, one tap each.
import { useId } from "preact/hooks";
import { html } from "../lib/html.js";

/**
 * @template {string | number} V
 * @param {{label: string, options: {id: V, name: string}[], value: V, onValue: (value: V) => void, name?: string, shown?: boolean, fault?: string}} props
 * shown: the label stands above; else the answers belong to the field before them
 */
export function Quick({ label, options, value, onValue, name, shown, fault }) {
  const id = useId();
  return html`<div class=${shown ? "field" : "field quick-below"} data-field=${name}>
    ${shown && html`<p class="quick-label" id=${id}>${label}</p>`}
    <div class="presets quick" role="group" aria-label=${shown ? undefined : `${label}: usual answers`} aria-labelledby=${shown ? id : undefined} aria-describedby=${fault ? `${id}-fault` : undefined}>
      ${options.map(option => html`<button type="button" class="quiet" key=${option.id} aria-pressed=${option.id === value} onClick=${() => onValue(option.id)}>${option.name}</button>`)}
    </div>
    ${fault && html`<p class="fault" id=${`${id}-fault`}>${fault}</p>`}
  </div>`;
}
