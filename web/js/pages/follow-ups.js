// What follow-ups are due, the longest due first, and finding a case by its record number.
import { useState } from "preact/hooks";
import { withQuery } from "../lib/api.js";
import { html } from "../lib/html.js";
import { navigate } from "../lib/navigate.js";
import { at, has } from "../lib/session.js";
import { CaseRows } from "../parts/case-rows.js";
import { KeyExplained, KeyPanel, NumberForm } from "../parts/case-key.js";
import { Caution } from "../parts/caution.js";
import { SelectField } from "../parts/field.js";
import { DueRows } from "../parts/follow-ups-due.js";
import { List } from "../parts/list.js";
import { Page } from "../parts/page.js";
import { useAtrium } from "../parts/use-atrium.js";
import { useCaseKey } from "../parts/use-case-key.js";
import { Empty } from "../parts/waiting.js";

const states = [{ id: "late", name: "Late" }, { id: "due", name: "Due" }, { id: "coming", name: "Coming" }];

/** @param {{query: URLSearchParams}} props */
export function FollowUpsPage({ query }) {
  const operations = useAtrium().data?.facts.operations;
  const state = query.get("state") || "";
  const own = has("trainee") && !has("faculty", "director");
  const opens = has("trainee", "faculty", "director");
  const choose = (/** @type {string} */ chosen) => navigate(withQuery("/follow-up", { state: chosen }), { replace: true });
  return html`<${Page} title="Follow-up" lead="What is due after each operation, the longest due first.">
    <div class="bar"><${SelectField} label="Show" value=${state} options=${states} choose="Late, due and coming" onValue=${choose} /></div>
    <${List} path=${at("/follow-ups")} query=${{ state }} what="what is due" empty=${html`<${Empty} says="No follow-up is due here." />`}>
      ${(/** @type {Api.DueFollowUp[]} */ items) => html`<${DueRows} items=${items} operations=${operations} by=${own ? "supervisor" : "trainee"} opens=${opens} />`}
    <//>
    ${opens && html`<${Find} operations=${operations} by=${own ? "supervisor" : "trainee"} />`}
  <//>`;
}

/** @param {{operations?: Api.Named[], by: "trainee" | "supervisor"}} props */
function Find({ operations, by }) {
  const key = useCaseKey();
  const [found, setFound] = useState(/** @type {Api.CaseItem[] | null} */ (null));
  return html`<section aria-labelledby="find-title"><h2 id="find-title">Find a case by its record number</h2>
    ${key.kept && !key.shown && html`<${NumberForm} kept=${key.kept} label="Local record number" act="Find the case" path="/case-search" done=""
      onDone=${(/** @type {Api.Page<Api.CaseItem>} */ page) => setFound(page.items)} />`}
    <div role="status">${found && found.length === 0 && html`<p>No case of yours was given this number with this key.</p>`}</div>
    ${found && found.length > 0 && html`<${CaseRows} cases=${found} operations=${operations} by=${by} /><${Caution} />`}
    <${KeyPanel} state=${key} />
    <${KeyExplained} />
  </section>`;
}
