// Follow-up on the page of a case: what is known and what is due, and the way to it.
import { html } from "../lib/html.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { Word } from "../lib/words.js";
import { dueWords, monthWords } from "../model/follow-up.js";
import { Show } from "./waiting.js";

/** @param {{id: string}} props */
export function CaseFollowUps({ id }) {
  const follow = useResource(at(`/cases/${encodeURIComponent(id)}/follow-ups`));
  return html`<h2>Follow-up</h2>
    <${Show} of=${follow} what="the follow-ups">${(/** @type {Api.CaseFollowUps} */ { items, schedule, may }) => {
      const next = schedule.find(one => one.state !== "done");
      return html`<ul class="history">
        ${items.map(item => html`<li key=${item.id}>${monthWords(item.follow_up.month)}: ${Word(item.freedom).toLowerCase()}</li>`)}
        ${next && html`<li>${dueWords(next)}</li>`}
      </ul>
      <p><a class="button quiet" href=${`/cases/${id}/follow-up`}>${may.includes("create") ? "Record or read follow-up" : "Read follow-up"}</a></p>`;
    }}<//>`;
}
