// The director's cohort: what stands out, who needs action and why, and the grid that opens to the evidence.
import { html } from "../lib/html.js";
import { withQuery } from "../lib/api.js";
import { dayWords, today } from "../lib/days.js";
import { narrow } from "../lib/narrow.js";
import { navigate } from "../lib/navigate.js";
import { counted, percent, plain } from "../lib/numbers.js";
import { useResource } from "../lib/resource.js";
import { at, has } from "../lib/session.js";
import { actionFirst } from "../model/standing.js";
import { CohortAgreement } from "../parts/agreement.js";
import { Caution } from "../parts/caution.js";
import { CohortGrid, CohortList } from "../parts/cohort-grid.js";
import { SelectField, TextField } from "../parts/field.js";
import { Page } from "../parts/page.js";
import { Row } from "../parts/row.js";
import { Reminders, useReminders } from "../parts/reminders.js";
import { Reports, cohortReports } from "../parts/reports.js";
import { StandingKey } from "../parts/standing-list.js";
import { Empty, Show } from "../parts/waiting.js";

/** How far back a trend can look, in days. */
const periods = [30, 90, 180, 365].map(days => ({ id: String(days), name: `${days} days` }));

/** @param {{query: URLSearchParams}} props */
export function CohortPage({ query }) {
  const asked = { on: query.get("on") || "", year: query.get("year") || "", site: query.get("site") || "", period: query.get("period") || "" };
  const cohort = useResource(at(withQuery("/cohort", asked)));
  const read = /** @type {Api.Cohort | undefined} */ (cohort.data);
  const reminders = useReminders();
  const go = (/** @type {Record<string, string>} */ change) => navigate(withQuery("/cohort", { ...asked, ...change }), { replace: true });
  const filtered = read && read.trainees.length < read.of;
  const title = read ? `${filtered ? `${read.trainees.length} of ` : ""}${counted(read.of, "trainee")} against standard ${read.standard_version}` : "Cohort";
  const example = read?.trainees.some(one => one.example) && "The standard is an example: its numbers are for the programme to set.";
  return html`<${Page} title=${title} lead=${example} kind="wide">
    <div class="bar filters">
      <${TextField} label="As of" type="date" max=${today()} value=${read?.on || asked.on} onValue=${(/** @type {string} */ on) => go({ on })} />
      <${SelectField} label="Year of training" value=${asked.year} choose="All" options=${(read?.years || []).map(year => ({ id: String(year), name: `Year ${year}` }))} onValue=${(/** @type {string} */ year) => go({ year })} />
      <${SelectField} label="Site on the day" value=${asked.site} choose="All" options=${(read?.sites || []).map(site => ({ id: site, name: site }))} onValue=${(/** @type {string} */ site) => go({ site })} />
      <${SelectField} label="Trend over" value=${asked.period || "90"} options=${periods} onValue=${(/** @type {string} */ period) => go({ period })} />
    </div>
    <${Show} of=${cohort} what="the cohort">${(/** @type {Api.Cohort} */ shown) => html`
      <${Concerns} cohort=${shown} />
      <${Headlines} headline=${shown.headline} />
      ${shown.trainees.length === 0
        ? shown.of > 0 ? html`<${Empty} says="No trainee fits these choices." />` : html`<${Empty} says="No trainee is a member of this programme on that day."><a href="/people">People of the programme</a><//>`
        : html`<${narrow.value ? CohortList : CohortGrid} cohort=${shown} trainees=${actionFirst(shown.trainees)} />
          <${StandingKey} interval=${intervalWords(shown)} />
          <p class="small">Arrow: up or down since ${dayWords(shown.before)}. Every cell opens its evidence. For training decisions by people; numbers alone decide nothing.</p>
          <p><a href="/case-mix">What each still lacks, and whether the rotations can supply it</a></p>
          <${CohortAgreement} />`}
      <${Caution} text=${shown.caution} />`}<//>
    <${Reminders} of=${reminders} title="What waits" />
    ${read && html`<${Reports} offers=${cohortReports(has("director"))} on=${asked.on} />`}
  <//>`;
}

/** Who needs something first, and why. @param {{cohort: Api.Cohort}} props */
function Concerns({ cohort }) {
  const some = cohort.trainees.filter(one => one.concern);
  if (some.length === 0) return cohort.trainees.length > 0 && html`<p>Nobody needs anything today.</p>`;
  return html`<section aria-label="Who needs action"><h2>Who needs action: ${some.length} of ${cohort.trainees.length}</h2>
    <ul class="rows">${some.map(one => html`<li key=${one.id}><${Row} to=${`/trainees/${one.id}/standing?on=${cohort.on}`} name=${one.name} detail=${one.attention} after=${one.concern} /></li>`)}</ul></section>`;
}

/** @param {Api.Cohort} cohort */
function intervalWords(cohort) {
  const level = cohort.trainees.flatMap(one => one.lines).find(line => line.interval)?.interval?.level;
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
