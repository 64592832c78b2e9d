// Graded plans, of one trainee or of all the person may see.
import { html } from "../lib/html.js";
import { at, has, session } from "../lib/session.js";
import { Attempts } from "../parts/attempts.js";
import { Caution } from "../parts/caution.js";
import { List } from "../parts/list.js";
import { Page } from "../parts/page.js";
import { Empty } from "../parts/waiting.js";

/** @param {{query: URLSearchParams}} props */
export function PlansPage({ query }) {
  const trainee = query.get("trainee") || undefined, scenario = query.get("scenario") || undefined;
  const own = trainee === session.value?.person.id;
  const growth = own || (!trainee && has("trainee")) ? "/growth" : trainee && `/trainees/${encodeURIComponent(trainee)}/growth`;
  return html`<${Page} title=${own ? "Your graded plans" : "Graded plans"} lead=${growth && html`<a href=${growth}>Growth across attempts</a>`}>
    <${List} path=${at("/plans")} query=${{ trainee, scenario }} what="the plans" empty=${html`<${Empty} says="No plan graded yet."><a href="/scenarios">Choose a scenario</a><//>`}>
      ${(/** @type {Api.PlanItem[]} */ plans) => html`<${Attempts} plans=${plans} titled=${true} /><${Caution} />`}
    <//>
  <//>`;
}
