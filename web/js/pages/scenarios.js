// The scenarios of the programme.
import { html } from "../lib/html.js";
import { at, has } from "../lib/session.js";
import { named, Word } from "../lib/words.js";
import { counted } from "../lib/numbers.js";
import { Caution } from "../parts/caution.js";
import { List } from "../parts/list.js";
import { OpenTests } from "../parts/open-tests.js";
import { Page } from "../parts/page.js";
import { Row } from "../parts/row.js";
import { useAtrium } from "../parts/use-atrium.js";
import { Empty } from "../parts/waiting.js";

export function ScenariosPage() {
  const operations = useAtrium().data?.facts.operations;
  return html`<${Page} title="Scenarios" lead="Fictional patients. Practise with conduction in sight, or sit a scenario as a test.">
    <${OpenTests} />
    <${List} path=${at("/scenarios")} what="the scenarios" empty=${html`<${Empty} says="No scenario is live in this programme yet.">There is nothing to plan just now.<//>`}>
      ${(/** @type {Api.ScenarioItem[]} */ items) => html`<ul class="rows">${items.map(item => html`<li
        key=${item.id}><${Row} to=${`/scenarios/${encodeURIComponent(item.id)}`} name=${item.title}
        detail=${`${Word(item.pattern)}; ${named(operations, item.operation)}`}
        after=${has("trainee") && (item.my_attempts > 0 ? html`best ${item.my_best_letter}<small>${counted(item.my_attempts, "attempt")}</small>` : "not tried")} /></li>`)}</ul><${Caution} />`}
    <//>
  <//>`;
}
