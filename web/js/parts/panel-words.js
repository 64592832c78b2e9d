// Words about panels that several screens share.
import { html } from "../lib/html.js";

/** Where a panel stands. @param {{panel: Api.PanelHead}} props */
export const FigureSign = ({ panel }) => html`<span class=${panel.judging ? "strong" : undefined}>${panel.judging ? "rate now" : panel.status === "open" ? `round ${panel.round}` : panel.status}</span>`;

export const rateHint = "Of a hundred trainees who just pass, how many answer it rightly?";
