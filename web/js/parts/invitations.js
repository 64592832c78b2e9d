// Inviting somebody by link, and the invitations that are open.
import { useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { post, remove } from "../lib/api.js";
import { html } from "../lib/html.js";
import { dayWords, today } from "../lib/days.js";
import { ApiProblem } from "../lib/problem.js";
import { at } from "../lib/session.js";
import { listed } from "../lib/words.js";
import { termWords } from "../model/terms.js";
import { asLines, FaultSummary } from "./fault-summary.js";
import { TextField } from "./field.js";
import { RoleForm } from "./role-form.js";
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
  const empty = { email: "", name: "", term: { role: "trainee", from: "", until: "" } };
  const [given, setGiven] = useState(empty);
  const [state, setState] = useState(/** @type {{busy: boolean, lines: {field: string, says: string}[], problem: unknown}} */ ({ busy: false, lines: [], problem: null }));
  const fault = (/** @type {string} */ field) => state.lines.find(line => line.field === field || line.field === `roles[0].${field}`)?.says;
  const invite = async (/** @type {Event} */ event) => {
    event.preventDefault();
    if (!given.email.trim()) return setState({ busy: false, lines: [{ field: "email", says: "Give the e-mail address: people sign in by it." }], problem: null });
    setState({ busy: true, lines: [], problem: null });
    try {
      const made = /** @type {Api.Invitation} */ (await post(at("/invitations"), { email: given.email.trim(), name: given.name.trim() || undefined, roles: [sentTerm(given.term)] }));
      announce("Invited. Pass the link on yourself.");
      setGiven(empty);
      setState({ busy: false, lines: [], problem: null });
      onMade(made);
    } catch (error) {
      const lines = error instanceof ApiProblem ? asLines(error.byField()) : [];
      setState({ busy: false, lines, problem: lines.length > 0 ? null : error });
    }
  };
  return html`<form class="narrow-form" novalidate onSubmit=${invite}>
    <${FaultSummary} faults=${state.lines} title="Before the invitation" />
    ${state.problem && html`<${Trouble} problem=${state.problem} />`}
    <${TextField} label="E-mail address" name="email" type="email" maxlength=${254} value=${given.email} fault=${fault("email")} onValue=${(/** @type {string} */ email) => setGiven({ ...given, email })} />
    <${TextField} label="Name (optional: whoever accepts sets it)" name="name" maxlength=${120} value=${given.name} fault=${fault("name")} onValue=${(/** @type {string} */ name) => setGiven({ ...given, name })} />
    <${RoleForm} value=${given.term} fault=${fault} onValue=${(/** @type {typeof empty.term} */ term) => setGiven({ ...given, term })} />
    <button type="submit" disabled=${state.busy}>Make the link</button>
  </form>`;
}

/** A term as the API takes it. @param {{role: string, from: string, until: string}} term */
export const sentTerm = ({ role, from, until }) => ({ role, from: from || undefined, until: until || undefined });

/** @param {{items: Api.Invitation[], onMade: (invitation: Api.Invitation) => void, onGone: () => void}} props */
export function OpenInvitations({ items, onMade, onGone }) {
  const [problem, setProblem] = useState(/** @type {unknown} */ (null));
  const doing = (/** @type {() => Promise<unknown>} */ act) => act().catch(setProblem);
  const again = (/** @type {Api.Invitation} */ one) => doing(async () => onMade(/** @type {Api.Invitation} */ (await post(at(`/invitations/${one.id}/link`), {}))));
  const withdraw = (/** @type {Api.Invitation} */ one) => doing(async () => { await remove(at(`/invitations/${one.id}`)); announce("Invitation withdrawn."); onGone(); });
  if (items.length === 0) return html`<p>No invitation is open.</p>`;
  return html`${problem && html`<${Trouble} problem=${problem} />`}<ul class="rows">${items.map(one => html`<li key=${one.id} class="row">
    <span class="row-main">${one.name || one.email}<small>${one.name ? `${one.email}, ` : ""}${listed(one.roles.map(termWords))}; invited by ${one.invited_by_name}, ${one.expires_at.slice(0, 10) < today() ? "past its last day" : `good until ${dayWords(one.expires_at.slice(0, 10))}`}</small></span>
    ${one.may && html`<button type="button" class="quiet" onClick=${() => again(one)}>New link<span class="unseen"> for ${one.email}</span></button>
      <button type="button" class="quiet" onClick=${() => withdraw(one)}>Withdraw<span class="unseen"> the invitation of ${one.email}</span></button>`}</li>`)}</ul>`;
}
