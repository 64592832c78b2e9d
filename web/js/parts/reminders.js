// What waits for the person signed in, as the server counts it.
import { counted } from "../lib/numbers.js";
import { html } from "../lib/html.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { Row } from "./row.js";

/** Where each kind is dealt with; a single case opens at once. @type {Record<Api.ReminderKind, (reminder: Api.Reminder) => string>} */
const places = {
  "open-test": reminder => `/sittings/${reminder.sitting}`,
  "returned": ({ cases }) => (cases.length === 1 ? `/cases/${cases[0].id}` : "/cases?status=returned"),
  "to-sign": () => "/inbox",
  "to-rate": reminder => `/tests/${reminder.test}/panel`,
  "drafts": ({ cases }) => (cases.length === 1 ? `/cases/${cases[0].id}/edit` : "/cases?status=draft"),
  "others-to-sign": () => "/cases?status=submitted",
};

/** What waits, by kind; empty while it is not known. @returns {Api.Reminder[]} */
export function useReminders() {
  const read = useResource(at("/reminders"));
  return /** @type {Api.Page<Api.Reminder> | undefined} */ (read.data)?.items || [];
}

/** @param {Api.Reminder} reminder */
const ageOf = ({ count, oldest_days: days }) => days > 0 && `${count > 1 ? "The oldest: " : ""}${counted(days, "day")} old`;

/** Reminders as lines that lead to where they are dealt with. @param {{of: Api.Reminder[], title?: string}} props */
export function Reminders({ of, title = "What waits" }) {
  const known = of.filter(reminder => places[reminder.kind]);
  if (known.length === 0) return null;
  return html`<section aria-labelledby="reminders-title">
    <h2 id="reminders-title">${title}</h2>
    <ul class="rows">${known.map(reminder => html`<li key=${`${reminder.kind} ${reminder.test || ""}`}><${Row} to=${places[reminder.kind](reminder)} name=${reminder.says}
      detail=${ageOf(reminder)} /></li>`)}</ul>
  </section>`;
}
