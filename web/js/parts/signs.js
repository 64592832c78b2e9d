// Signs: a shape for each state and severity, so that nothing rests on colour. The word always stands beside them.
import { html } from "../lib/html.js";

/** @type {Record<string, unknown>} */
const states = {
  "met": html`<circle cx="8" cy="8" r="6.5" class="fill" />`,
  "on-course": html`<circle cx="8" cy="8" r="6" class="ring" /><path d="M8 2a6 6 0 0 0 0 12z" class="fill" />`,
  "short": html`<circle cx="8" cy="8" r="6" class="ring" />`,
  "lapsed": html`<circle cx="8" cy="8" r="6" class="ring dashed" />`,
  "not-enough-data": html`<path d="M3.5 8h9" class="ring" />`,
};

/** @type {Record<string, unknown>} */
const statuses = {
  "draft": states.short, "in-review": states["on-course"], "live": states.met, "retired": states["not-enough-data"], "superseded": states.lapsed,
};

/** @type {Record<string, unknown>} */
const severities = {
  "critical": html`<path d="M5 1h6l4 4v6l-4 4H5l-4-4V5z" class="fill" /><path d="M8 4.2v4.6M8 10.6v1.6" class="cut" />`,
  "major": html`<path d="M8 1.5l7 13H1z" class="fill" />`,
  "minor": html`<path d="M8 2.5l6 11H2z" class="ring" />`,
  "remark": html`<path d="M3 8.5l3.5 3.5L13.5 4.5" class="ring" />`,
};

/** @param {{state: string}} props */
export const StateSign = ({ state }) => html`<svg class=${`sign ${state}`} viewBox="0 0 16 16" width="16" height="16" aria-hidden="true">${states[state]}</svg>`;

/** @param {{severity: string}} props */
export const SeveritySign = ({ severity }) => html`<svg class=${`sign ${severity}`} viewBox="0 0 16 16" width="16" height="16" aria-hidden="true">${severities[severity]}</svg>`;

/** Where a scenario stands in its life. @param {{status: string}} props */
export const StatusSign = ({ status }) => html`<svg class="sign" viewBox="0 0 16 16" width="16" height="16" aria-hidden="true">${statuses[status]}</svg>`;
