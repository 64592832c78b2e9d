// The decisions about a trainee: the one that stands first, each leading to its record.
import { html } from "../lib/html.js";
import { dayWords } from "../lib/days.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { Word } from "../lib/words.js";
import { Row } from "./row.js";

/** @param {{trainee: string}} props */
export function Decisions({ trainee }) {
  const list = /** @type {Api.Page<Api.DecisionSummary> | undefined} */ (useResource(at(`/trainees/${encodeURIComponent(trainee)}/decisions`)).data);
  if (!list || list.items.length === 0) return null;
  return html`<section><h2>Decisions</h2><ul class="rows">${list.items.map(one => html`<li key=${one.id}><${DecisionRow} decision=${one} /></li>`)}</ul></section>`;
}

/** @param {{decision: Api.DecisionSummary}} props */
export const DecisionRow = ({ decision: one }) => html`<${Row} to=${`/decisions/${one.id}`} name=${Word(one.outcome)}
  detail=${`recorded by ${one.signer_name}, ${dayWords(one.signed_at.slice(0, 10))}`} after=${one.superseded ? "a later one took its place" : "stands"} />`;
