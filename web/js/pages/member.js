// One member: roles and sites with their days, and keeping somebody out without losing a word of what they did.
import { useState } from "preact/hooks";
import { post, remove } from "../lib/api.js";
import { html } from "../lib/html.js";
import { timeWords, today } from "../lib/days.js";
import { useResource } from "../lib/resource.js";
import { at, has, membership } from "../lib/session.js";
import { capital, listed } from "../lib/words.js";
import { daysWords, sentTerm, termWords } from "../model/terms.js";
import { FaultSummary } from "../parts/fault-summary.js";
import { SelectField, TextField } from "../parts/field.js";
import { Page } from "../parts/page.js";
import { emptyTerm, RoleForm } from "../parts/role-form.js";
import { useAct } from "../parts/use-act.js";
import { ViewingGiven } from "../parts/viewing-given.js";
import { Empty, Show, Trouble } from "../parts/waiting.js";

/** @param {{params: Record<string, string>}} props */
export function MemberPage({ params }) {
  const members = useResource(at("/members"));
  const list = /** @type {Api.Page<Api.Member> | undefined} */ (members.data);
  const member = list?.items.find(one => one.id === params.person);
  return html`<${Page} title=${member?.name || "Member"} lead=${member && `${member.email}. ${capital(listed(member.roles.filter(term => !term.until || term.until >= today()).map(termWords))) || "No role"}.`}>
    <${Show} of=${members} what="the member">${() => (member ? html`<${Member} member=${member} reload=${members.reload} />` : html`<${Empty} says="Nobody of that name belongs or belonged to the programme." />`)}<//>
    <p><a href="/people">All people</a></p>
  <//>`;
}

/** @param {{member: Api.Member, reload: () => void}} props */
function Member({ member, reload }) {
  const path = at(`/members/${encodeURIComponent(member.id)}`), doing = useAct(), day = today();
  const act = (/** @type {string} */ done, /** @type {() => Promise<unknown>} */ does) => doing.act(done, async () => { await does(); reload(); });
  return html`
    ${member.deactivated_at && html`<p class="notice">Kept out since ${timeWords(member.deactivated_at)}. Everything done before stays on record.</p>`}
    <${FaultSummary} faults=${doing.lines} title="That could not be done" />
    ${doing.problem && html`<${Trouble} problem=${doing.problem} />`}
    <h2>Roles</h2>
    <ul class="rows">${member.roles.map(term => html`<li key=${term.role + term.from} class="row"><span class="row-main">${capital(term.role)}<small>${daysWords(term)}</small></span>
      ${member.may && (!term.until || term.until >= day) && html`<button type="button" class="quiet" disabled=${doing.busy}
        onClick=${() => act("The role ends today.", () => post(`${path}/role-end`, { role: term.role, from: term.from, until: day }))}>End today<span class="unseen">: ${term.role}</span></button>`}</li>`)}</ul>
    ${member.may && html`<${AddRole} path=${path} reload=${reload} />`}
    ${member.viewing && has("director") && html`<${ViewingGiven} key=${JSON.stringify(member.viewing)} person=${member.id} given=${member.viewing} reload=${reload} />`}
    <h2>Sites</h2>
    ${member.rotations.length === 0 ? html`<p>No rotation is entered.</p>` : html`<ul class="rows">${member.rotations.map(stay => html`<li key=${stay.id} class="row"><span class="row-main">${stay.site}<small>${daysWords(stay)}</small></span>
      ${(!stay.until || stay.until >= day) && html`<button type="button" class="quiet" disabled=${doing.busy}
        onClick=${() => act("The rotation ends today.", () => post(at(`/rotations/${stay.id}/end`), { until: day }))}>End today<span class="unseen">: ${stay.site}</span></button>`}
      <button type="button" class="quiet" disabled=${doing.busy} onClick=${() => act("Rotation removed.", () => remove(at(`/rotations/${stay.id}`)))}>Remove<span class="unseen"> the rotation at ${stay.site}</span></button></li>`)}</ul>`}
    <${AddRotation} path=${path} reload=${reload} />
    ${member.may && html`<h2>Way in</h2>
      ${member.deactivated_at
        ? html`<button type="button" disabled=${doing.busy} onClick=${() => act("Let in again. Give roles anew.", () => remove(`${path}/deactivation`))}>Let in again</button>`
        : html`<p>Keeping somebody out ends their roles and sign-ins today. Cases, signatures and decisions stay.</p>
          <${KeepOut} name=${member.name} busy=${doing.busy} onSure=${() => act(`${member.name} is kept out.`, () => post(`${path}/deactivation`, {}))} />`}`}`;
}

/** Asked once more, for it ends what the person is doing. @param {{name: string, busy: boolean, onSure: () => void}} props */
function KeepOut({ name, busy, onSure }) {
  const [asked, setAsked] = useState(false);
  if (!asked) return html`<button type="button" class="quiet" onClick=${() => setAsked(true)}>Keep out from now on</button>`;
  return html`<div class="notice" role="alert"><p class="strong">Keep ${name} out from now on? Roles are not given back by letting in again.</p>
    <div class="bar"><button type="button" disabled=${busy} onClick=${onSure}>Yes, keep out</button><button type="button" class="quiet" onClick=${() => setAsked(false)}>No</button></div></div>`;
}

/** @param {{path: string, reload: () => void}} props */
function AddRole({ path, reload }) {
  const [term, setTerm] = useState(emptyTerm), doing = useAct();
  const add = (/** @type {Event} */ event) => {
    event.preventDefault();
    doing.act("Role given.", async () => { await post(`${path}/roles`, sentTerm(term)); setTerm(emptyTerm); reload(); });
  };
  return html`<details class="as-table"><summary>Give one more role</summary><form class="narrow-form" novalidate onSubmit=${add}>
    <${FaultSummary} faults=${doing.lines} title="Before the role" />
    ${doing.problem && html`<${Trouble} problem=${doing.problem} />`}
    <${RoleForm} value=${term} fault=${doing.fault} onValue=${setTerm} />
    <button type="submit" disabled=${doing.busy}>Give the role</button></form></details>`;
}

/** @param {{path: string, reload: () => void}} props */
function AddRotation({ path, reload }) {
  const programme = /** @type {{settings: {sites: string[]}} | undefined} */ (useResource(`/programmes/${membership.value?.programme}`).data);
  const sites = (programme?.settings.sites || []).map(site => ({ id: site, name: site }));
  const empty = { site: "", from: "", until: "" };
  const [stay, setStay] = useState(empty), doing = useAct();
  const add = (/** @type {Event} */ event) => {
    event.preventDefault();
    const sent = { site: stay.site, from: stay.from || undefined, until: stay.until || undefined };
    doing.act("Rotation added.", async () => { await post(`${path}/rotations`, sent); setStay(empty); reload(); });
  };
  return html`<details class="as-table"><summary>Add a rotation</summary><form class="narrow-form" novalidate onSubmit=${add}>
    ${doing.problem && html`<${Trouble} problem=${doing.problem} />`}
    <${SelectField} label="Site" name="site" choose="Choose a site" value=${stay.site} options=${sites} fault=${doing.fault("site")} onValue=${(/** @type {string} */ site) => setStay({ ...stay, site })} />
    <${TextField} label="Begins (today when empty)" name="from" type="date" value=${stay.from} fault=${doing.fault("from")} onValue=${(/** @type {string} */ from) => setStay({ ...stay, from })} />
    <${TextField} label="Ends (open when empty)" name="until" type="date" value=${stay.until} fault=${doing.fault("until")} onValue=${(/** @type {string} */ until) => setStay({ ...stay, until })} />
    <button type="submit" disabled=${doing.busy || !stay.site}>Add the rotation</button></form></details>`;
}
