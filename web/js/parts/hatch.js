// The hatch of tissue that is no longer connected, as a pattern to fill with.
import { html } from "../lib/html.js";

/** @param {{id: string}} props the name fills refer to; one of its own in every drawing */
export const Hatch = ({ id }) => html`<defs><pattern id=${id} width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
  <rect width="7" height="7" class="island-ground" /><line x1="0" y1="0" x2="0" y2="7" class="island-line" /></pattern></defs>`;
