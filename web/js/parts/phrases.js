// Short phrases from the assessor's own past, offered for a field: one tap takes it, and it can be edited there.
import { html } from "../lib/html.js";

/** @param {{label: string, phrases: Api.Phrase[], value: string, onValue: (text: string) => void}} props */
export const Phrases = ({ label, phrases, value, onValue }) => phrases.length > 0 && html`<div class="bar" role="group" aria-label=${label}>
  ${phrases.map(phrase => html`<button key=${phrase.text} type="button" class="quiet" aria-pressed=${phrase.text === value ? "true" : "false"}
    onClick=${() => onValue(phrase.text)}>${phrase.text}</button>`)}
</div>`;
