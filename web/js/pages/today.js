// A trainee's first page: what to do next, where they stand, what came back.
import { withQuery } from "../lib/api.js";
import { html } from "../lib/html.js";
import { useResource } from "../lib/resource.js";
import { at, session } from "../lib/session.js";
import { counted } from "../lib/numbers.js";
import { dayWords } from "../lib/days.js";
import { actPlace } from "../model/outlook.js";
import { worstFirst } from "../model/standing.js";
import { Attempts } from "../parts/attempts.js";
import { title } from "../parts/case-rows.js";
import { Caution } from "../parts/caution.js";
import { FollowUpsDue } from "../parts/follow-ups-due.js";
import { untilWords, useOpenTests } from "../parts/open-tests.js";
import { Page } from "../parts/page.js";
import { Reminders, useReminders } from "../parts/reminders.js";
import { Row } from "../parts/row.js";
import { StandingKey, StandingList } from "../parts/standing-list.js";
import { useAtrium } from "../parts/use-atrium.js";
import { Empty, Show } from "../parts/waiting.js";

/** Kinds of reminders that the list of what to do next holds one by one. @type {Api.ReminderKind[]} */
const listed = ["open-test", "returned", "drafts"];

/** The oldest cases of a kind of reminder. @param {Api.Reminder[]} reminders @param {Api.ReminderKind} kind */
const casesOf = (reminders, kind) => reminders.find(one => one.kind === kind)?.cases || [];

export function TodayPage() {
  const me = session.value?.person.id || "";
  const reminders = useReminders();
  const standing = useResource(at(`/trainees/${me}/standing`));
  const plans = useResource(at(withQuery("/plans", { trainee: me, limit: 5 })));
  const atrium = useAtrium();
  const operations = atrium.data?.facts.operations;
  const next = /** @type {Api.TraineeStanding | undefined} */ (standing.data);
  const act = next?.outlook?.act;
  const tests = useOpenTests();
  const todo = [
    ...tests.map(test => ({ to: test.path, what: `Test: ${test.name}`, why: `Go on with it. ${untilWords(test)}` })),
    ...casesOf(reminders, "returned").map(item => ({ to: `/cases/${item.id}`, what: title(item, operations), why: `Returned by ${item.supervisor_name}: read why, correct it, submit again.` })),
    ...casesOf(reminders, "drafts").map(item => ({ to: `/cases/${item.id}/edit`, what: title(item, operations), why: `Draft of ${dayWords(item.operated_on) || "an operation"}: finish and submit it.` })),
    ...(act ? [{ to: actPlace(act, true, ""), what: act.says, why: act.why }] : []),
  ];
  return html`<${Page} title="Today" lead=${session.value?.person.name}>
    <div class="two">
      <section aria-labelledby="next-title">
        <h2 id="next-title">What to do next</h2>
        ${todo.length > 0
          ? html`<ol class="rows todo">${todo.map(item => html`<li><${Row} to=${item.to} name=${item.what} detail=${item.why} /></li>`)}</ol>`
          : !standing.loading && html`<p>Nothing waits for you. Plan a scenario, or log an operation.</p>`}
        <${Reminders} of=${reminders.filter(one => !listed.includes(one.kind) || one.count > one.cases.length && one.kind !== "open-test")} title="What else waits" />
        <div class="bar"><a class="button" href="/cases/new">Log a case</a><a class="button quiet" href="/scenarios">Plan a scenario</a></div>
        <${FollowUpsDue} operations=${operations} />
        <h2>Recent grades</h2>
        <${Show} of=${plans} what="your grades">${(/** @type {Api.Page<Api.PlanItem>} */ page) => (page.items.length === 0
          ? html`<${Empty} says="No plan graded yet."><a href="/scenarios">Choose a scenario</a><//>`
          : html`<${Attempts} plans=${page.items} titled=${true} /><p><a href=${withQuery("/plans", { trainee: me })}>All graded plans</a> · <a href="/growth">Growth across attempts</a></p>`)}<//>
      </section>
      <section aria-labelledby="standing-title">
        <h2 id="standing-title">Where you stand</h2>
        <${Show} of=${standing} what="your standing">${(/** @type {Api.TraineeStanding} */ own) => html`
          <p class="overall">${own.standing.overall}</p>
          ${own.waiting.submitted > 0 && html`<p>${counted(own.waiting.submitted, "case")} ${own.waiting.submitted === 1 ? "waits" : "wait"} for sign-off.</p>`}
          <${StandingList} lines=${worstFirst(own.standing.requirements)} trainee=${me} brief=${true} />
          <${StandingKey} />
          <${Caution} text=${own.standing.caution} />`}<//>
      </section>
    </div>
  <//>`;
}
