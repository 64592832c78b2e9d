// One line of a list that leads somewhere: the name is the link, and the whole line may be pressed.
import { html } from "../lib/html.js";

/**
 * @param {{to: string, name: unknown, detail?: unknown, before?: unknown, after?: unknown, current?: boolean}} props
 * detail: small below the name; before and after: at the left and the right edge
 */
export const Row = ({ to, name, detail, before, after, current = false }) => html`<div class=${current ? "row current" : "row"}>
  ${before}
  <span class="row-main"><a class="row-link" href=${to} aria-current=${current ? "page" : undefined}>${name}</a>${detail && html`<small>${detail}</small>`}</span>
  ${after && html`<span class="amount">${after}</span>`}
</div>`;
