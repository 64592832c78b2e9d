// The caution that goes with every verdict on a lesion set or on a person.
import { html } from "../lib/html.js";

export const words = "For education. Not advice on a patient. Local policy and licensed practice decide.";

/** @param {{text?: string}} props the text the server sent with the verdict */
export const Caution = ({ text }) => html`<p class="caution">${text || words}</p>`;
