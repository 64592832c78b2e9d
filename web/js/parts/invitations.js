// Inviting somebody by link, and the invitations that are open.
import { useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { post, remove } from "../lib/api.js";
import { html } from "../lib/html.js";
import { dayWords, today } from "../lib/days.js";
import { at } from "../lib/session.js";
import { listed } from "../lib/words.js";
import { sentTerm, termWords } from "../model/terms.js";
import { FaultSummary } from "./fault-summary.js";
import { TextField } from "./field.js";
import { emptyTerm, RoleForm } from "./role-form.js";
import { useAct } from "./use-act.js";
import { Trouble } from "./waiting.js";

/** A link just made: it is shown this once. @param {{invitation: Api.Invitation}} props */
export function MadeLink({ invitation }) {
  const link = new URL(invitation.link || "", location.href).href;
  const copy = async () => {
    try {
      await navigator.clipboard.writeText(link);
      announce("Copied.");
    } catch {
      announce("The browser does not let it be copied: select it by hand.");
    }
  };
  return html`<div class="notice" role="status"><p class="strong">The link for ${invitation.email}: it is shown only once, nothing is sent.</p>
    <p><code class="secret">${link}</code></p><button type="button" class="quiet" onClick=${copy}>Copy the link</button></div>`;
}

/** @param {{onMade: (invitation: Api.Invitation) => void}} props */
export function InviteForm({ onMade }) {
  const empty = { email: "", name: "", term: emptyTerm };
  const [given, setGiven] = useState(empty);
  const { busy, lines, problem, act, refuse, fault } = useAct();
  const invite = (/** @type {Event} */ event) => {
    event.preventDefault();
    if (!given.email.trim()) return refuse([{ field: "email", says: "Give the e-mail address: people sign in by it." }]);
    return act("Invited. Pass the link on yourself.", async () => {
      const made = /** @type {Api.Invitation} */ (await post(at("/invitations"), { email: given.email.trim(), name: given.name.trim() || undefined, roles: [sentTerm(given.term)] }));
      setGiven(empty);
      onMade(made);
    });
  };
  return html`<form class="narrow-form" novalidate onSubmit=${invite}>
    <${FaultSummary} faults=${lines} title="Before the invitation" />
    ${problem && html`<${Trouble} problem=${problem} />`}
    <${TextField} label="E-mail address" name="email" type="email" maxlength=${254} value=${given.email} fault=${fault("email")} onValue=${(/** @type {string} */ email) => setGiven({ ...given, email })} />
    <${TextField} label="Name (optional: whoever accepts sets it)" name="name" maxlength=${120} value=${given.name} fault=${fault("name")} onValue=${(/** @type {string} */ name) => setGiven({ ...given, name })} />
    <${RoleForm} value=${given.term} fault=${(/** @type {string} */ field) => fault(`roles[0].${field}`)} onValue=${(/** @type {typeof empty.term} */ term) => setGiven({ ...given, term })} />
    <button type="submit" disabled=${busy}>Make the link</button>
  </form>`;
}

/** @param {{items: Api.Invitation[], onMade: (invitation: Api.Invitation) => void, onGone: () => void}} props */
export function OpenInvitations({ items, onMade, onGone }) {
  const { problem, act } = useAct();
  const again = (/** @type {Api.Invitation} */ one) => act("A new link. The one before is dead.", async () => onMade(/** @type {Api.Invitation} */ (await post(at(`/invitations/${one.id}/link`), {}))));
  const withdraw = (/** @type {Api.Invitation} */ one) => act("Invitation withdrawn.", async () => { await remove(at(`/invitations/${one.id}`)); onGone(); });
  if (items.length === 0) return html`<p>No invitation is open.</p>`;
  return html`${problem && html`<${Trouble} problem=${problem} />`}<ul class="rows">${items.map(one => html`<li key=${one.id} class="row">
    <span class="row-main">${one.name || one.email}<small>${one.name ? `${one.email}, ` : ""}${listed(one.roles.map(termWords))}; invited by ${one.invited_by_name}, ${one.expires_at.slice(0, 10) < today() ? "past its last day" : `good until ${dayWords(one.expires_at.slice(0, 10))}`}</small></span>
    ${one.may && html`<button type="button" class="quiet" onClick=${() => again(one)}>New link<span class="unseen"> for ${one.email}</span></button>
      <button type="button" class="quiet" onClick=${() => withdraw(one)}>Withdraw<span class="unseen"> the invitation of ${one.email}</span></button>`}</li>`)}</ul>`;
}
