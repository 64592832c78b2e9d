// Cases as a list.
import { html } from "../lib/html.js";
import { ageWords, dayWords } from "../lib/days.js";
import { Word, named, word } from "../lib/words.js";
import { Row } from "./row.js";

/** @param {{cases: Api.CaseItem[], operations?: Api.Named[], by?: "trainee" | "supervisor"}} props by: whose name is shown */
export const CaseRows = ({ cases, operations, by = "supervisor" }) => html`<ul class="rows">
  ${cases.map(item => html`<li key=${item.id}><${Row} to=${`/cases/${item.id}`} name=${title(item, operations)}
    detail=${[by === "trainee" ? item.trainee_name : item.supervisor_name, dayWords(item.operated_on), item.role && word(item.role)].filter(Boolean).join(", ")}
    after=${html`${statusWords(item.status, by === "supervisor", amending(item.signed_version, item.status))}${item.status === "submitted" && html`<small>${ageWords(item.age_days)}</small>`}`} /></li>`)}
</ul>`;

/** What a case is called: its operation and what was ablated. @param {{operation: string, scope: string}} item @param {Api.Named[]} [operations] */
export function title({ operation, scope }, operations) {
  const what = operation ? named(operations, operation) : "Operation not yet named";
  const first = what.charAt(0).toUpperCase() + what.slice(1);
  return scope && scope !== "none" ? `${first}, ${word(scope)}` : first;
}

/** A case's state, said to its trainee or of it. @param {string} status @param {boolean} own @param {boolean} [amendment] whether it is an amendment's of a signed case */
export const statusWords = (status, own, amendment) => `${amendment ? "Amendment: " : ""}${status === "returned" && !own ? (amendment ? "returned" : "Returned") : (amendment ? word : Word)(status)}`;

/** Whether an amendment of a signed case is open. @param {number | undefined} signed the version signed last @param {string} status */
export const amending = (signed, status) => (signed || 0) > 0 && ["draft", "submitted", "returned"].includes(status);
