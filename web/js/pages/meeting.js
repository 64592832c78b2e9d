// A meeting: one trainee after the other, with what is on record, the votes and the outcome.
import { useEffect, useRef } from "preact/hooks";
import { html } from "../lib/html.js";
import { dayWords } from "../lib/days.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { listed } from "../lib/words.js";
import { Caution } from "../parts/caution.js";
import { MeetingTurn } from "../parts/meeting-turn.js";
import { Page } from "../parts/page.js";
import { Show } from "../parts/waiting.js";

/** @param {{params: Record<string, string>, query: URLSearchParams}} props */
export function MeetingPage({ params, query }) {
  const meeting = useResource(at(`/meetings/${encodeURIComponent(params.meeting)}`));
  const read = /** @type {Api.Meeting | undefined} */ (meeting.data);
  return html`<${Page} title=${read ? `Meeting of ${dayWords(read.held_on)}` : "Meeting"} lead=${read && `${listed(read.members.map(one => one.name))}.${read.note ? ` ${read.note}` : ""}`}>
    <${Show} of=${meeting} what="the meeting">${(/** @type {Api.Meeting} */ shown) => html`<${Turns} meeting=${shown} chosen=${query.get("trainee") || ""} onMeeting=${meeting.set} reload=${meeting.reload} />`}<//>
  <//>`;
}

/** @param {{meeting: Api.Meeting, chosen: string, onMeeting: (meeting: Api.Meeting) => void, reload: () => void}} props */
function Turns({ meeting, chosen, onMeeting, reload }) {
  const place = Math.max(0, meeting.turns.findIndex(turn => turn.trainee.id === chosen)), turn = meeting.turns[place];
  const heading = useRef(/** @type {HTMLElement | null} */ (null)), first = useRef(true);
  useEffect(() => { if (!first.current) heading.current?.focus(); first.current = false; }, [turn.trainee.id]); // the next trainee is read from the name on
  const to = (/** @type {Api.Turn} */ other) => `/meetings/${meeting.id}?trainee=${encodeURIComponent(other.trainee.id)}`;
  const before = meeting.turns[place - 1], after = meeting.turns[place + 1];
  return html`
    <nav aria-label="Trainees in their turn" class="turns">${meeting.turns.map((one, i) => html`<a key=${one.trainee.id} href=${to(one)} aria-current=${i === place ? "true" : undefined}>${one.trainee.name}
      <small>${one.decision ? "decided" : one.own_vote ? "voted" : `${one.voted} voted`}</small></a>`)}</nav>
    <h2 ref=${heading} tabindex="-1">${turn.trainee.name}</h2>
    <${Caution} text=${meeting.caution} />
    <${MeetingTurn} key=${turn.trainee.id} meeting=${meeting} turn=${turn} onMeeting=${onMeeting} reload=${reload} />
    <p class="ways">${before && html`<a href=${to(before)}>Before: ${before.trainee.name}</a>`}${after && html`<a href=${to(after)}>Next: ${after.trainee.name}</a>`}</p>`;
}
