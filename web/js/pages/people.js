// The members of the programme and their roles.
import { html } from "../lib/html.js";
import { at, has } from "../lib/session.js";
import { capital, listed } from "../lib/words.js";
import { List } from "../parts/list.js";
import { Page } from "../parts/page.js";
import { Empty } from "../parts/waiting.js";

export function PeoplePage() {
  const opens = has("director", "faculty");
  return html`<${Page} title="People" lead="Who belongs to the programme today, and in what role.">
    <${List} path=${at("/people")} what="the people" empty=${html`<${Empty} says="Nobody yet.">Whoever runs Isthmus adds people with the command isthmus user add.<//>`}>
      ${(/** @type {Api.Person[]} */ people) => html`<table><thead><tr><th scope="col">Name</th><th scope="col">Roles</th></tr></thead><tbody>${people.map(one => html`<tr key=${one.id}>
        <th scope="row">${opens && one.roles.includes("trainee") ? html`<a href=${`/trainees/${one.id}/standing`}>${one.name}</a>` : one.name}</th><td>${capital(listed(one.roles))}</td></tr>`)}</tbody></table>`}
    <//>
  <//>`;
}
