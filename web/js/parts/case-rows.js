// Cases as a list.
import { html } from "../lib/html.js";
import { ageWords, dayWords } from "../lib/days.js";
import { Word, named, word } from "../lib/words.js";

/** @param {{cases: Api.CaseItem[], operations?: Api.Named[], by?: "trainee" | "supervisor", to?: (item: Api.CaseItem) => string}} props */
export const CaseRows = ({ cases, operations, by = "supervisor", to = item => `/cases/${item.id}` }) => html`<ul class="rows">
  ${cases.map(item => html`<li key=${item.id}><a class="row" href=${to(item)}>
    <span class="row-main">${title(item, operations)}
      <small>${[by === "trainee" ? item.trainee_name : item.supervisor_name, dayWords(item.operated_on), item.role && word(item.role)].filter(Boolean).join(", ")}</small></span>
    <span class="amount">${statusWords(item, by)}<small>${item.status === "submitted" ? ageWords(item.age_days) : ""}</small></span>
  </a></li>`)}
</ul>`;

/** What a case is called: its operation and what was ablated. @param {{operation: string, scope: string}} item @param {Api.Named[]} [operations] */
export function title({ operation, scope }, operations) {
  const what = operation ? named(operations, operation) : "Operation not yet named";
  const first = what.charAt(0).toUpperCase() + what.slice(1);
  return scope && scope !== "none" ? `${first}, ${word(scope)}` : first;
}

/** @param {Api.CaseItem} item @param {string} by */
const statusWords = (item, by) => (item.status === "returned" && by === "trainee" ? "Returned" : Word(item.status));
