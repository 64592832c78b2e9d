// Why a role is what it is: which steps are key steps, who performed them, which counted, and the programme's rule as it was then.
import { html } from "../lib/html.js";
import { named, Word } from "../lib/words.js";
import { stepName } from "./case-fields.js";

/** @type {Record<string, string>} */
const whose = { trainee: "by the trainee's account", supervisor: "by the supervisor's account" };

/** @param {{account: Api.RoleAccount, atrium: import("../model/atrium.js").Atrium, alone?: boolean}} props alone: only one account is shown, so that nobody asks whose */
export const RoleWhy = ({ account, atrium, alone = false }) => html`<details class="adjust role-why"><summary>Which steps made the role${alone ? "" : `, ${whose[account.of]}`}</summary>
  <table class="role-steps"><caption>${Word(account.role)}, by role rule ${account.rule.version}</caption>
    <thead><tr><th scope="col">Step</th><th scope="col">Performed by</th><th scope="col">Counts as the trainee's</th></tr></thead>
    <tbody>${account.steps.map(one => html`<tr key=${one.step}><th scope="row">${stepName(atrium, one.step)}${one.key && html` <span class="small">key step</span>`}</th>
      <td>${named(atrium.facts.performers, one.performed_by)}</td><td>${one.counts ? "yes" : "no"}</td></tr>`)}</tbody>
    <tfoot><tr><th scope="row">Together</th><td>${shareWords(account)}</td><td>${account.steps.filter(one => one.counts).length} of ${account.steps.length}</td></tr></tfoot></table>
  <p>${account.says}</p>
  <p><a href="/settings">The programme's rules, and every version of them</a></p>
</details>`;

/** @param {Api.RoleAccount} account */
function shareWords({ steps }) {
  const keys = steps.filter(one => one.key);
  return keys.length === 0 ? "no key step" : `${keys.filter(one => one.counts).length} of ${keys.length} key steps count`;
}
