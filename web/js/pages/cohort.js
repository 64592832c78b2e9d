// The director's cohort: what stands out, who needs action and why, and the grid that opens to the evidence.
import { html } from "../lib/html.js";
import { withQuery } from "../lib/api.js";
import { today } from "../lib/days.js";
import { narrow } from "../lib/narrow.js";
import { navigate } from "../lib/navigate.js";
import { counted, percent, plain } from "../lib/numbers.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { actionFirst } from "../model/standing.js";
import { CohortAgreement } from "../parts/agreement.js";
import { Caution } from "../parts/caution.js";
import { CohortGrid, CohortList } from "../parts/cohort-grid.js";
import { TextField } from "../parts/field.js";
import { Page } from "../parts/page.js";
import { Reminders, useReminders } from "../parts/reminders.js";
import { StandingKey } from "../parts/standing-list.js";
import { Empty, Show } from "../parts/waiting.js";

/** @param {{query: URLSearchParams}} props */
export function CohortPage({ query }) {
  const on = query.get("on") || "";
  const cohort = useResource(at(withQuery("/cohort", { on })));
  const read = /** @type {Api.Cohort | undefined} */ (cohort.data);
  const reminders = useReminders();
  const title = read ? `${counted(read.trainees.length, "trainee")} against standard ${read.standard_version}` : "Cohort";
  return html`<${Page} title=${title} kind="wide">
    <${TextField} label="As of" type="date" max=${today()} value=${read?.on || on}
      onValue=${(/** @type {string} */ day) => navigate(withQuery("/cohort", { on: day }), { replace: true })} />
    <${Reminders} of=${reminders} title="What waits" />
    <${Show} of=${cohort} what="the cohort">${(/** @type {Api.Cohort} */ shown) => html`
      <${Headlines} headline=${shown.headline} />
      ${shown.trainees.length === 0
        ? html`<${Empty} says="No trainee is a member of this programme on that day."><a href="/people">People of the programme</a><//>`
        : html`<${narrow.value ? CohortList : CohortGrid} cohort=${shown} trainees=${actionFirst(shown.trainees)} />
          <${StandingKey} interval=${intervalWords(shown)} />
          <p class="small">Every cell opens its evidence. For training decisions by people; numbers alone decide nothing.</p>
          <${CohortAgreement} />`}
      <${Caution} text=${shown.caution} />`}<//>
  <//>`;
}

/** @param {Api.Cohort} cohort */
function intervalWords(cohort) {
  const level = cohort.trainees.flatMap(one => one.standing.requirements).find(line => line.interval)?.interval?.level;
  return level ? `${percent(level)} interval` : "interval";
}

/** Sentences with their interval and n. @param {{headline: Api.Headline}} props */
function Headlines({ headline }) {
  const left = headline.scope_left_out, wait = headline.sign_off_wait;
  const range = left && `${percent(left.share)} (${Math.round(left.low * 100)} to ${Math.round(left.high * 100)})`;
  const signed = wait && (wait.n > 0 ? `median wait for a sign-off, over ${counted(wait.n, "signed case")}` : "no case signed yet");
  return html`<div class="headlines">
    ${left && html`<p><b>${left.n > 0 ? range : "-"}</b> ${left.says}</p>`}
    ${wait && html`<p><b>${wait.n > 0 ? counted(wait.median_days, "day") : "-"}</b>
      ${signed}; ${plain(wait.waiting)} ${wait.waiting === 1 ? "waits" : "wait"} now, ${plain(wait.late)} too long</p>`}
  </div>`;
}
