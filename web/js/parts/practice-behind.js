// The operations or plans behind a number of practice, each leading to its page.
import { withQuery } from "../lib/api.js";
import { dayWords } from "../lib/days.js";
import { html } from "../lib/html.js";
import { percent } from "../lib/numbers.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { capital, named, Word, word } from "../lib/words.js";
import { Caution } from "./caution.js";
import { Row } from "./row.js";
import { useAtrium } from "./use-atrium.js";
import { Empty, Show } from "./waiting.js";

/** A share with its interval. @param {Api.PracticeShare} share of one or more */
export const shareWords = ({ share, low, high }) => `${percent(share ?? 0)} (${Math.round(100 * (low ?? 0))} to ${Math.round(100 * (high ?? 0))})`;

/** @param {{filter: Record<string, string>, side: "operated" | "planned", of: string, all: boolean}} props filter: what practice was narrowed to */
export function PracticeBehind({ filter, side, of, all }) {
  const operations = useAtrium().data?.facts.operations;
  const list = useResource(at(withQuery("/practice/behind", { ...filter, side, of, all: all ? "true" : "" })));
  const operated = side === "operated";
  const name = (/** @type {Api.PracticeItem} */ item) => capital(operated ? named(operations, item.name) : item.name);
  return html`<p><a href=${withQuery("/practice", filter)}>All of practice</a></p>
    <${Show} of=${list} what="what is behind the number">${(/** @type {Api.PracticeBehind} */ { says, on, share, items, caution }) => html`
      <h2>${operated ? "Operated" : "Planned"}, ${says}</h2>
      <p>${share.n === 0 ? "None is counted" : `${share.hits} of ${share.n} ${operated ? "operations" : "first tries"}: ${shareWords(share)}`}, as of ${dayWords(on)}.${all && share.n > 0 && " Below are all it is counted of."}</p>
      ${items.length === 0 ? html`<${Empty} says="Nothing is behind this number." />`
        : html`<ul class="rows">${items.map(item => html`<li key=${item.id}><${Row} to=${`/${operated ? "cases" : "plans"}/${item.id}`} name=${name(item)}
          detail=${[item.trainee.name, dayWords(item.on), item.site, item.pattern && word(item.pattern)].filter(Boolean).join(", ")}
          after=${html`${Word(item.scope)}<small>${item.target && item.target !== "none" ? `asked for: ${word(item.target)}` : "no scope asked for"}</small>`} /></li>`)}</ul>`}
      <${Caution} text=${caution} />`}<//>`;
}
