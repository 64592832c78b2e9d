// The operations or plans behind a number of practice, each leading to its page.
import { withQuery } from "../lib/api.js";
import { dayWords } from "../lib/days.js";
import { html } from "../lib/html.js";
import { counted } from "../lib/numbers.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { capital, named, Word, word } from "../lib/words.js";
import { Caution } from "./caution.js";
import { Row } from "./row.js";
import { useAtrium } from "./use-atrium.js";
import { Empty, Show } from "./waiting.js";

/** @param {{filter: Record<string, string>, side: "operated" | "planned", of: string, all: boolean}} props filter: what practice was narrowed to */
export function PracticeBehind({ filter, side, of, all }) {
  const operations = useAtrium().data?.facts.operations;
  const list = useResource(at(withQuery("/practice/behind", { ...filter, side, of, all: all ? "true" : "" })));
  const operated = side === "operated";
  const name = (/** @type {Api.PracticeItem} */ item) => capital(operated ? named(operations, item.name) : item.name);
  return html`<p><a href=${withQuery("/practice", filter)}>All of practice</a></p>
    <${Show} of=${list} what="what is behind the number">${(/** @type {Api.PracticeBehind} */ { says, on, items, caution }) => html`
      <h2>${operated ? "Operated" : "Planned"}, ${says}</h2>
      <p>${all ? `All ${items.length} it is counted of` : counted(items.length, operated ? "operation" : "plan")}, as of ${dayWords(on)}.</p>
      ${items.length === 0 ? html`<${Empty} says="Nothing is behind this number." />`
        : html`<ul class="rows">${items.map(item => html`<li key=${item.id}><${Row} to=${`/${operated ? "cases" : "plans"}/${item.id}`} name=${name(item)}
          detail=${[item.trainee.name, dayWords(item.on), item.site, item.pattern && word(item.pattern)].filter(Boolean).join(", ")}
          after=${html`${Word(item.scope)}<small>${item.target && item.target !== "none" ? `asked for: ${word(item.target)}` : "no scope asked for"}</small>`} /></li>`)}</ul>`}
      <${Caution} text=${caution} />`}<//>`;
}
