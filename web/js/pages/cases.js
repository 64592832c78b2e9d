// Cases, by state.
import { html } from "../lib/html.js";
import { navigate } from "../lib/navigate.js";
import { withQuery } from "../lib/api.js";
import { at, has, session } from "../lib/session.js";
import { CaseRows } from "../parts/case-rows.js";
import { SelectField } from "../parts/field.js";
import { Caution } from "../parts/caution.js";
import { List } from "../parts/list.js";
import { Page } from "../parts/page.js";
import { useAtrium } from "../parts/use-atrium.js";
import { Empty } from "../parts/waiting.js";

const states = [
  { id: "draft", name: "Drafts" }, { id: "submitted", name: "Waiting for sign-off" }, { id: "returned", name: "Returned" },
  { id: "signed-off", name: "Signed off" }, { id: "withdrawn", name: "Withdrawn" },
];

/** @param {{query: URLSearchParams}} props */
export function CasesPage({ query }) {
  const operations = useAtrium().data?.facts.operations;
  const status = query.get("status") || undefined;
  const own = has("trainee") && !has("faculty", "director");
  const trainee = query.get("trainee") || (own ? session.value?.person.id : undefined);
  const choose = (/** @type {string} */ chosen) => navigate(withQuery("/cases", { status: chosen, trainee: query.get("trainee") }), { replace: true });
  return html`<${Page} title=${own ? "Your cases" : "Cases"} lead="Operations, without anything that identifies a patient.">
    <div class="bar">
      ${has("trainee") && html`<a class="button" href="/cases/new">Log a case</a>`}
      ${has("trainee") && html`<${OwnLog} />`}
      <${SelectField} label="Show" value=${status || ""} options=${states} choose="All" onValue=${choose} />
    </div>
    <${List} path=${at("/cases")} query=${{ trainee, status }} what="the cases" empty=${html`<${Empty} says=${status ? "No case in this state." : "No case logged yet."}>${has("trainee") && html`<a href="/cases/new">Log a case</a>`}<//>`}>
      ${(/** @type {Api.CaseItem[]} */ cases) => html`<${CaseRows} cases=${cases} operations=${operations} by=${own ? "supervisor" : "trainee"} /><${Caution} />`}
    <//>
  <//>`;
}

/** The own log as a file, which an import reads again, and the way to import one. */
function OwnLog() {
  return html`<p class="ways"><a href=${`/api${at("/case-export")}?format=xlsx`} download="cases.xlsx">Your log as XLSX</a>
    <a href=${`/api${at("/case-export")}?format=csv`} download="cases.csv">As CSV</a>
    <a href="/import">Import a file</a></p>`;
}
