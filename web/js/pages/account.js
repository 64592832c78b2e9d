// One's own account: programme worked in, access tokens, signing out.
import { useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { post, remove } from "../lib/api.js";
import { html } from "../lib/html.js";
import { dayWords } from "../lib/days.js";
import { navigate } from "../lib/navigate.js";
import { useResource } from "../lib/resource.js";
import { membership, session, workIn } from "../lib/session.js";
import { capital, listed } from "../lib/words.js";
import { Digest } from "../parts/digest-choices.js";
import { NumberField, SelectField, TextField } from "../parts/field.js";
import { Leaving } from "../parts/leaving.js";
import { Page } from "../parts/page.js";
import { Show, Trouble } from "../parts/waiting.js";

export function AccountPage() {
  const person = session.value?.person, memberships = session.value?.memberships || [];
  return html`<${Page} title="Account" lead=${`${person?.name}, ${person?.email}`}>
    <h2>Programme</h2>
    ${memberships.length > 1
      ? html`<${SelectField} label="You work in" value=${membership.value?.programme || ""} options=${memberships.map(one => ({ id: one.programme, name: one.programme_name }))}
          onValue=${(/** @type {string} */ id) => { workIn(id); navigate("/"); }} />`
      : html`<p>${membership.value?.programme_name || "You are a member of no programme. Its coordinator can add you."}</p>`}
    ${membership.value && html`<p>${capital(listed(membership.value.roles))}</p>`}
    <${Digest} />
    <${Tokens} />
    <h2>Leave</h2>
    <${Leaving} />
    <p class="small">Isthmus ${session.value?.version}. <a href="/docs">The API, described</a></p>
  <//>`;
}

function Tokens() {
  const tokens = useResource("/tokens");
  const [name, setName] = useState("");
  const [days, setDays] = useState(90);
  const [made, setMade] = useState(/** @type {Api.Token | null} */ (null));
  const [problem, setProblem] = useState(/** @type {unknown} */ (null));
  const doing = async (/** @type {() => Promise<unknown>} */ act) => {
    setProblem(null);
    try {
      await act();
      tokens.reload();
    } catch (error) {
      setProblem(error);
    }
  };
  const create = (/** @type {Event} */ event) => {
    event.preventDefault();
    doing(async () => { setMade(await post("/tokens", { name, expires_in_days: days })); setName(""); });
  };
  return html`<h2>Access tokens</h2>
    <p>For programs that use the API as you. A token can do all that you can.</p>
    ${problem && html`<${Trouble} problem=${problem} />`}
    ${made?.token && html`<div class="notice" role="status"><p class="strong">Copy it now: it is shown only once.</p><p><code class="secret">${made.token}</code></p></div>`}
    <${Show} of=${tokens} what="your tokens">${(/** @type {{items?: Api.Token[]} | Api.Token[]} */ data) => {
      const items = (Array.isArray(data) ? data : data.items || []).filter(one => !one.revoked_at);
      return items.length === 0 ? html`<p>None.</p>` : html`<ul class="rows">${items.map(one => html`<li
        key=${one.id} class="row"><span class="row-main">${one.name}<small>until ${dayWords(one.expires_at)}</small></span>
        <button type="button" class="quiet" aria-label=${`Revoke ${one.name}`}
          onClick=${() => doing(async () => { await remove(`/tokens/${one.id}`); announce("Token revoked."); })}>Revoke</button></li>`)}</ul>`;
    }}<//>
    <form class="narrow-form" novalidate onSubmit=${create}>
      <${TextField} label="What the token is for" name="name" maxlength=${100} value=${name} onValue=${setName} />
      <${NumberField} label="Valid for" name="expires_in_days" unit="days" min=${1} max=${365} value=${days} onValue=${setDays} />
      <button type="submit" class="quiet" disabled=${!name.trim()}>Create token</button>
    </form>`;
}
