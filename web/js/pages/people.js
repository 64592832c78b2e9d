// The members of the programme: roles and sites with their days, invitations, the roster; each member opens for changes.
import { useState } from "preact/hooks";
import { html } from "../lib/html.js";
import { today } from "../lib/days.js";
import { useResource } from "../lib/resource.js";
import { at, has } from "../lib/session.js";
import { listed } from "../lib/words.js";
import { holdsOn, termWords } from "../model/terms.js";
import { InviteForm, MadeLink, OpenInvitations } from "../parts/invitations.js";
import { Page } from "../parts/page.js";
import { Empty, Show } from "../parts/waiting.js";

export function PeoplePage() {
  const members = useResource(at("/members")), invitations = useResource(at("/invitations"));
  const [made, setMade] = useState(/** @type {Api.Invitation | null} */ (null));
  const show = (/** @type {Api.Invitation} */ invitation) => { setMade(invitation); invitations.reload(); };
  return html`<${Page} title="People" lead="Who belongs to the programme, in what role and until when. What somebody did stays on record when they leave.">
    <${Show} of=${members} what="the people">${(/** @type {Api.Page<Api.Member>} */ list) => html`<${Members} all=${list.items} />`}<//>
    <h2>Invite</h2>
    ${made && html`<${MadeLink} key=${made.link} invitation=${made} />`}
    <${InviteForm} onMade=${show} />
    <h2>Open invitations</h2>
    <${Show} of=${invitations} what="the invitations">${(/** @type {Api.Page<Api.Invitation>} */ list) => html`<${OpenInvitations} items=${list.items} onMade=${show} onGone=${invitations.reload} />`}<//>
    <h2>Roster file</h2>
    <p>People and roles of a whole programme as a OneRoster 1.2 archive. <a href="/people/roster">Import one</a> or <a href=${`/api${at("/roster")}`} download="roster.zip">take the people with you</a>.</p>
  <//>`;
}

/** Members of today first. @param {{all: Api.Member[]}} props */
function Members({ all }) {
  const now = all.filter(one => !one.deactivated_at && one.roles.some(term => holdsOn(term, today()))), gone = all.filter(one => !now.includes(one));
  if (all.length === 0) return html`<${Empty} says="Nobody yet." />`;
  return html`<${MemberTable} members=${now} />
    ${gone.length > 0 && html`<details class="as-table"><summary>Not members today (${gone.length})</summary><${MemberTable} members=${gone} /></details>`}`;
}

/** @param {{members: Api.Member[]}} props */
function MemberTable({ members }) {
  const opens = has("director"), day = today();
  return html`<div class="scroll" tabindex="0" role="region" aria-label="Members"><table><thead><tr><th scope="col">Name</th><th scope="col">Roles</th><th scope="col">Site today</th><th scope="col"><span class="unseen">More</span></th></tr></thead>
    <tbody>${members.map(one => html`<tr key=${one.id}><th scope="row"><a href=${`/people/${one.id}`}>${one.name}</a></th>
      <td>${listed(one.roles.filter(term => !term.until || term.until >= day).map(termWords)) || "none"}</td>
      <td>${listed(one.rotations.filter(stay => holdsOn(stay, day)).map(stay => stay.site)) || "-"}</td>
      <td>${opens && one.roles.some(term => term.role === "trainee") && html`<a href=${`/trainees/${one.id}/standing`}>Standing<span class="unseen"> of ${one.name}</span></a>`}</td></tr>`)}</tbody></table></div>`;
}
