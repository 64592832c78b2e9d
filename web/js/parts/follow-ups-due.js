// What follow-ups are due: as rows, and as a section of a first page.
import { html } from "../lib/html.js";
import { dayWords } from "../lib/days.js";
import { counted } from "../lib/numbers.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { capital, named } from "../lib/words.js";
import { dueWords } from "../model/follow-up.js";
import { Row } from "./row.js";

/** @param {{items: Api.DueFollowUp[], operations?: Api.Named[], by: "trainee" | "supervisor", opens?: boolean}} props opens: whether the rows lead to the case */
export const DueRows = ({ items, operations, by, opens = true }) => html`<ul class="rows">${items.map(item => {
  const name = capital(item.operation ? named(operations, item.operation) : `Operation of ${dayWords(item.operated_on)}`);
  const who = [by === "trainee" ? item.trainee_name : item.supervisor_name, item.operation && `operated on ${dayWords(item.operated_on)}`].filter(Boolean).join(", ");
  const detail = `${who}. ${item.due.map(dueWords).join("; ")}.`;
  const after = item.days_late > 0 ? `${counted(item.days_late, "day")} over` : "coming";
  return html`<li key=${item.case}>${opens ? html`<${Row} to=${`/cases/${item.case}/follow-up`} name=${name} detail=${detail} after=${after} />`
    : html`<div class="row"><span class="row-main">${name}<small>${detail}</small></span><span class="amount">${after}</span></div>`}</li>`;
})}</ul>`;

/** The longest due, where there are any. @param {{operations?: Api.Named[]}} props */
export function FollowUpsDue({ operations }) {
  const due = /** @type {Api.Page<Api.DueFollowUp> | undefined} */ (useResource(at("/follow-ups?limit=3")).data);
  if (!due || due.items.length === 0) return null;
  return html`<section aria-labelledby="due-title"><h2 id="due-title">Follow-up due</h2>
    <${DueRows} items=${due.items} operations=${operations} by="supervisor" />
    <p><a href="/follow-up">All that is due</a></p></section>`;
}
