// The committee's meetings, and calling one.
import { useState } from "preact/hooks";
import { post } from "../lib/api.js";
import { html } from "../lib/html.js";
import { dayWords, today } from "../lib/days.js";
import { navigate } from "../lib/navigate.js";
import { counted } from "../lib/numbers.js";
import { useResource } from "../lib/resource.js";
import { at, has } from "../lib/session.js";
import { uuid7 } from "../lib/uuid.js";
import { CheckField, TextField } from "../parts/field.js";
import { FaultSummary } from "../parts/fault-summary.js";
import { List } from "../parts/list.js";
import { Page } from "../parts/page.js";
import { Row } from "../parts/row.js";
import { useAct } from "../parts/use-act.js";
import { Empty, Show, Trouble } from "../parts/waiting.js";

export function MeetingsPage() {
  const opens = has("director", "committee");
  const words = (/** @type {Api.MeetingSummary} */ one) => `${counted(one.trainees, "trainee")}, ${counted(one.members, "member")}`;
  return html`<${Page} title="Meetings" lead="The committee looks at trainees in turn. It recommends; the director records and signs.">
    ${has("director") && html`<div class="bar"><a class="button" href="/meetings/new">Call a meeting</a></div>`}
    <${List} path=${at("/meetings")} what="the meetings" empty=${html`<${Empty} says="No meeting yet." />`}>
      ${(/** @type {Api.MeetingSummary[]} */ items) => html`<ul class="rows">${items.map(one => html`<li key=${one.id}>${opens
        ? html`<${Row} to=${`/meetings/${one.id}`} name=${dayWords(one.held_on)} detail=${[one.note, words(one)].filter(Boolean).join(". ")} after=${`${one.decided} of ${one.trainees} decided`} />`
        : html`<p>${dayWords(one.held_on)}: ${words(one)}, ${one.decided} decided</p>`}</li>`)}</ul>`}
    <//>
  <//>`;
}

export function NewMeetingPage() {
  const people = useResource(at("/people"));
  return html`<${Page} title="Call a meeting" lead="Nothing of it changes afterwards: who is forgotten gets another meeting." kind="narrow-page">
    <${Show} of=${people} what="the people">${(/** @type {Api.Page<Api.Person>} */ list) => html`<${MeetingForm} people=${list.items} />`}<//>
  <//>`;
}

/** @param {{people: Api.Person[]}} props */
function MeetingForm({ people }) {
  const [id] = useState(uuid7);
  const [given, setGiven] = useState({ held_on: today(), note: "", trainees: /** @type {string[]} */ ([]), members: people.filter(one => one.roles.includes("committee")).map(one => one.id) });
  const { busy, lines, problem, act, fault } = useAct();
  const submit = (/** @type {Event} */ event) => {
    event.preventDefault();
    act("Meeting called.", async () => navigate(`/meetings/${/** @type {Api.Meeting} */ (await post(at("/meetings"), { id, ...given, note: given.note.trim() || undefined })).id}`));
  };
  const choose = (/** @type {"trainees" | "members"} */ list, /** @type {string} */ legend, /** @type {string} */ role) => html`<fieldset class="group" data-field=${list}><legend>${legend}</legend>
    ${people.filter(one => one.roles.includes(role)).map(one => html`<${CheckField} key=${one.id} label=${one.name} name=${list} value=${given[list].includes(one.id)}
      onValue=${(/** @type {boolean} */ on) => setGiven({ ...given, [list]: on ? [...given[list], one.id] : given[list].filter(other => other !== one.id) })} />`)}
    ${!people.some(one => one.roles.includes(role)) && html`<p>Nobody has the role ${role} today.</p>`}
    ${fault(list) && html`<p class="fault">${fault(list)}</p>`}</fieldset>`;
  return html`<form novalidate onSubmit=${submit}>
    <${FaultSummary} faults=${lines} title="Before the meeting is called" />
    ${problem && html`<${Trouble} problem=${problem} />`}
    <${TextField} label="Day" name="held_on" type="date" value=${given.held_on} fault=${fault("held_on")} onValue=${(/** @type {string} */ held_on) => setGiven({ ...given, held_on })} />
    ${choose("trainees", "Trainees, in their turn", "trainee")}
    ${choose("members", "Who sits", "committee")}
    <${TextField} label="Note (optional)" name="note" maxlength=${500} value=${given.note} fault=${fault("note")} onValue=${(/** @type {string} */ note) => setGiven({ ...given, note })} />
    <button type="submit" class="main-act" disabled=${busy}>Call the meeting</button>
  </form>`;
}
