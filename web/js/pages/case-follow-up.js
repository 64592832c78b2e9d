// The follow-ups of one case: the schedule, what was recorded and what it means, the form, and the key by which the case is found.
import { useState } from "preact/hooks";
import { html } from "../lib/html.js";
import { dayWords, timeWords } from "../lib/days.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { Word, listed, named } from "../lib/words.js";
import { dueWords, emptyFollowUp, monthToOffer, monthWords, openMonths, ruleWords } from "../model/follow-up.js";
import { KeyExplained, KeyPanel, NumberForm } from "../parts/case-key.js";
import { Caution } from "../parts/caution.js";
import { FollowUpForm } from "../parts/follow-up-form.js";
import { Page } from "../parts/page.js";
import { useAtrium } from "../parts/use-atrium.js";
import { useCaseKey } from "../parts/use-case-key.js";
import { Show } from "../parts/waiting.js";

/** @param {{params: Record<string, string>}} props */
export function CaseFollowUpPage({ params }) {
  const follow = useResource(at(`/cases/${encodeURIComponent(params.case)}/follow-ups`));
  const atrium = useAtrium();
  const read = /** @type {Api.CaseFollowUps | undefined} */ (follow.data);
  return html`<${Page} title="Follow-up" kind="narrow-page" lead=${read && html`Operated on ${dayWords(read.operated_on)}. <a href=${`/cases/${params.case}`}>The case</a>`}>
    <${Show} of=${follow} what="the follow-ups">${(/** @type {Api.CaseFollowUps} */ shown) => html`
      <${Show} of=${atrium} what="the catalogue">${(/** @type {import("../model/atrium.js").Atrium} */ shape) => html`
        <${Body} shown=${shown} lists=${shape.facts.follow_up} reload=${follow.reload} set=${follow.set} />`}<//>`}<//>
  <//>`;
}

/** @param {{shown: Api.CaseFollowUps, lists: Api.FollowUpLists, reload: () => void, set: (data: Api.CaseFollowUps) => void}} props */
function Body({ shown, lists, reload, set }) {
  const [open, setOpen] = useState(/** @type {Api.FollowUpView | "new" | null} */ (null));
  const done = () => { setOpen(null); reload(); };
  const months = openMonths(shown.schedule);
  if (open) {
    const amends = open === "new" ? undefined : open;
    return html`<h2>${amends ? `Amend ${monthWords(amends.follow_up.month)}` : "Record a follow-up"}</h2>
      <${FollowUpForm} case=${shown.case} lists=${lists} amends=${amends} start=${amends ? amends.follow_up : emptyFollowUp(monthToOffer(shown.schedule))}
        months=${amends ? [...new Set([amends.follow_up.month, ...months])].sort((a, b) => a - b) : months} onDone=${done} onCancel=${() => setOpen(null)} />`;
  }
  return html`
    ${shown.may.includes("create") && months.length > 0 && html`<button type="button" class="main-act" onClick=${() => setOpen("new")}>Record a follow-up</button>`}
    <h2>When it is due</h2>
    ${shown.schedule.length === 0 ? html`<p>A case is followed from its submission until it is withdrawn.</p>`
    : html`<ul class="history">${shown.schedule.map(due => html`<li key=${due.month} class=${due.state === "late" || due.state === "due" ? "strong" : undefined}>${dueWords(due)}</li>`)}</ul>`}
    <h2>What was recorded</h2>
    ${shown.items.length === 0 ? html`<p>Nothing yet.</p>` : shown.items.map(item => html`<${Recorded} key=${item.id} item=${item} lists=${lists}
      onAmend=${shown.may.includes("edit") ? () => setOpen(item) : undefined} />`)}
    <p class="small">${ruleWords(shown.rule)}</p>
    <${Caution} text=${shown.caution} />
    ${shown.may.includes("create") && html`<${KeyOfCase} shown=${shown} set=${set} />`}`;
}

/** @param {{item: Api.FollowUpView, lists: Api.FollowUpLists, onAmend?: () => void}} props */
const Recorded = ({ item, lists, onAmend }) => html`<section class="statement" aria-label=${`After ${monthWords(item.follow_up.month)}`}>
  <p class="strong">${monthWords(item.follow_up.month)}: ${Word(item.freedom).toLowerCase()}</p>
  <p>${item.freedom_reason.charAt(0).toUpperCase()}${item.freedom_reason.slice(1)}.</p>
  <${Said} said=${item.follow_up} lists=${lists} />
  <p class="small">${item.by_name}, ${timeWords(item.at)}.${item.reason ? ` Amended: ${item.reason}` : ""}</p>
  ${item.earlier.length > 0 && html`<details class="as-table"><summary>Earlier versions (${item.earlier.length})</summary>${item.earlier.map(was => html`<div class="statement" key=${was.version}>
    <p>Version ${was.version}, ${was.by_name}, ${timeWords(was.at)}: ${Word(was.freedom).toLowerCase()}.${was.reason ? ` ${was.reason}` : ""}</p><${Said} said=${was.follow_up} lists=${lists} /></div>`)}</details>`}
  ${onAmend && html`<div class="bar"><button type="button" class="quiet" aria-label=${`Amend ${monthWords(item.follow_up.month)}`} onClick=${onAmend}>Amend</button></div>`}
</section>`;

/** @param {{said: Api.FollowUp, lists: Api.FollowUpLists}} props */
const Said = ({ said, lists }) => html`<dl class="facts">
  <dt>Rhythm</dt><dd>${named(lists.rhythms, said.rhythm)}</dd>
  <dt>Recorded</dt><dd>${named(lists.monitorings, said.monitoring)}${said.monitoring_hours > 0 ? `, ${said.monitoring_hours} hours` : ""}</dd>
  <dt>Arrhythmia</dt><dd>${named(lists.arrhythmias, said.arrhythmia)}</dd>
  <dt>Drugs</dt><dd>Antiarrhythmic: ${named(lists.antiarrhythmics, said.antiarrhythmic).toLowerCase()}; ${said.anticoagulated ? "anticoagulated" : "no anticoagulant"}</dd>
  <dt>Pacemaker</dt><dd>${said.pacemaker ? `${named(lists.pacemaker_bands, said.pacemaker.band)}, ${named(lists.pacemaker_reasons, said.pacemaker.reason)}` : "none"}</dd>
  <dt>Procedures</dt><dd>${listed(said.repeat_procedures.map(one => named(lists.repeat_procedures, one))) || "none"}</dd>
  <dt>Stroke</dt><dd>${named(lists.strokes, said.stroke)}</dd>
  ${said.died && html`<dt>Death</dt><dd>yes</dd>`}
</dl>
${said.note && html`<p>${said.note}</p>`}`;

/** @param {{shown: Api.CaseFollowUps, set: (data: Api.CaseFollowUps) => void}} props */
function KeyOfCase({ shown, set }) {
  const key = useCaseKey();
  return html`<h2>To find this case again</h2>
    <p>${shown.has_key ? "You can find it by its record number. Enter the number again only if it was mistyped." : "Enter the record number once, and you can find the case by it."}</p>
    ${key.kept && !key.shown && html`<${NumberForm} kept=${key.kept} label="Local record number" act="Keep its hash" path=${`/cases/${shown.case}/key`} done="The case can be found by its record number." onDone=${set} />`}
    <${KeyPanel} state=${key} />
    <${KeyExplained} />`;
}
