// A supervisor's inbox: cases that wait for a signature, oldest first.
import { useEffect } from "preact/hooks";
import { html } from "../lib/html.js";
import { useResource } from "../lib/resource.js";
import { at, session } from "../lib/session.js";
import { ageWords, dayWords } from "../lib/days.js";
import { counted } from "../lib/numbers.js";
import { word } from "../lib/words.js";
import { Caution } from "../parts/caution.js";
import { Page } from "../parts/page.js";
import { amending, title } from "../parts/case-rows.js";
import { Reminders, useReminders } from "../parts/reminders.js";
import { Row } from "../parts/row.js";
import { readTray, tray } from "../parts/tray.js";
import { useAtrium } from "../parts/use-atrium.js";
import { useAll } from "../parts/use-all.js";
import { Empty, Show } from "../parts/waiting.js";

export function InboxPage() {
  useEffect(() => { readTray(); }, []);
  const reminders = useReminders();
  const facts = useAtrium().data?.facts;
  const cases = useAll(at("/cases"), { status: "submitted" }); // the server gives the newest first, and the oldest must not be left out
  const programme = /** @type {Api.Programme | undefined} */ (useResource(at("")).data);
  const late = programme?.settings.late_recall_days || 14;
  return html`<${Page} title="Inbox" lead="Cases that wait for your signature, oldest first. Twenty seconds each while you still remember them.">
    <${TrayNote} />
    <${Show} of=${cases} what="the inbox">${(/** @type {Api.CaseItem[]} */ items) => {
      const mine = items.filter(item => item.supervisor === session.value?.person.id);
      return mine.length === 0 ? html`<${Nothing} />` : html`<${Waiting} items=${mine} late=${late} facts=${facts} />`;
    }}<//>
    <${Reminders} of=${reminders.filter(one => one.kind === "to-rate")} title="Ratings that are wanted" />
  <//>`;
}

function TrayNote() {
  const count = tray.value?.length || 0;
  return count > 0 && html`<div class="notice"><p><b>${counted(count, "case")} in your tray</b>, prepared on this device and not signed yet.</p>
    <p><a class="button" href="/inbox/tray">Review and sign</a></p></div>`;
}

const Nothing = () => html`<${Empty} says="No case waits for you."><a href="/cases">All cases you supervised</a><//>`;

/** @param {{items: Api.CaseItem[], late: number, facts?: Api.Atrium}} props */
function Waiting({ items, late, facts }) {
  const oldest = [...items].sort((a, b) => b.age_days - a.age_days);
  const groups = [...new Set(oldest.map(item => item.trainee))].map(trainee => oldest.filter(item => item.trainee === trainee));
  const prepared = new Set(tray.value?.map(one => one.case));
  const over = items.filter(item => item.age_days > late).length;
  return html`<p>${counted(items.length, "case")} ${items.length === 1 ? "waits" : "wait"}${over > 0 ? `; ${over} for more than ${late} days, when recall fades` : ""}.</p>
    ${groups.map(group => html`<section key=${group[0].trainee}>
      <h2>${group[0].trainee_name}</h2>
      <ul class="rows">${group.map(item => html`<li key=${item.id}><${Row} to=${`/cases/${item.id}/sign-off`} name=${title(item, facts?.operations)}
        detail=${`${dayWords(item.operated_on)}, ${word(item.pattern)}, trainee as ${word(item.role)} by their own account`}
        after=${html`${ageWords(item.age_days)}${amending(item.signed_version, item.status) && html`<small>amendment</small>`}${prepared.has(item.id) && html`<small>in your tray</small>`}${item.age_days > late && html`<small>late recall</small>`}${item.overlaps && html`<small>${counted(item.overlaps, "step")} claimed twice</small>`}`} /></li>`)}</ul>
    </section>`)}
    <p><a href="/cases">All cases you supervised</a></p>
    <${Caution} />`;
}
