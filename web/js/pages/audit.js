// The audit trail in words: who did what, when, and the chain that shows any change to it.
import { html } from "../lib/html.js";
import { timeWords } from "../lib/days.js";
import { at } from "../lib/session.js";
import { List } from "../parts/list.js";
import { Page } from "../parts/page.js";
import { Empty } from "../parts/waiting.js";

/** @type {Record<string, string>} */
const acts = {
  "case.create": "began a case", "case.edit": "changed a draft", "case.submit": "submitted a case", "case.return": "returned a case", "case.sign-off": "signed off a case",
  "case.join": "joined cases of one operation", "case.leave": "took a case out of its group", "settings.change": "changed the programme's settings",
  "case-pattern.save": "saved an operation pattern", "case-pattern.rename": "renamed an operation pattern", "case-pattern.delete": "deleted an operation pattern",
  "case.amend": "opened a case for an amendment", "case.restore": "gave an amendment up", "case.withdraw": "withdrew a case", "plan.submit": "submitted a plan", "standard.add": "added a standard", "programme.create": "founded the programme",
  "person.create": "added a person", "person.password": "set a password", "membership.add": "added a membership", "token.create": "made an access token", "token.revoke": "revoked an access token",
  "edition.create": "began a scenario", "edition.edit": "wrote in a scenario", "edition.submit": "submitted a scenario for review", "edition.return": "returned a scenario",
  "edition.approve": "approved a scenario", "edition.retire": "retired a scenario", "edition.revise": "began the next version of a scenario", "scope-policy.add": "added a scope policy", "sitting.start": "began a test", "sitting.save": "saved a plan in a test",
  "follow-up.create": "recorded a follow-up", "follow-up.amend": "amended a follow-up", "case-key.save": "gave a case a key to find it by",
  "invitation.create": "invited somebody", "invitation.renew": "made a new link for an invitation", "invitation.withdraw": "withdrew an invitation", "invitation.accept": "accepted an invitation",
  "membership.period": "set the last day of a role", "member.deactivate": "kept a member out", "member.reactivate": "let a member in again", "rotation.add": "added a rotation",
  "rotation.period": "set the last day of a rotation", "rotation.delete": "removed a rotation", "meeting.create": "called a meeting", "meeting.vote": "voted in a meeting",
  "meeting.conflict": "declared a conflict of interest", "decision.record": "recorded and signed a decision", "decision.respond": "answered a decision", "roster.import": "imported a roster",
  "digest.choose": "chose when to get mail", "digest.stop": "turned the mail off", "override.review": "looked at an override", "session.create": "signed in", "session.delete": "signed out",
};

export function AuditPage() {
  return html`<${Page} title="Audit" lead="Every change, newest first. Entries are chained by hash: nothing can be altered or removed unseen." kind="wide">
    <${List} path=${at("/audit")} what="the audit trail" empty=${html`<${Empty} says="Nothing has happened yet." />`}>
      ${(/** @type {Api.AuditEntry[]} */ entries) => html`<ol class="rows audit">${entries.map(entry => html`<li key=${entry.seq}><details>
        <summary><span class="row-main">${entry.actor_name || "The system"} ${acts[entry.act] || entry.act.replace(/[.-]/g, " ")}<small>${timeWords(entry.at)}, entry ${entry.seq}</small></span></summary>
        <dl class="facts hashes"><dt>Object</dt><dd>${link(entry)}</dd><dt>Before</dt><dd><code>${entry.before_hash || "-"}</code></dd><dt>After</dt><dd><code>${entry.after_hash || "-"}</code></dd>
          <dt>Entry before</dt><dd><code>${entry.prev_hash || "-"}</code></dd><dt>This entry</dt><dd><code>${entry.hash}</code></dd><dt>Request</dt><dd><code>${entry.request_id || "-"}</code></dd></dl>
      </details></li>`)}</ol>`}
    <//>
  <//>`;
}

/** @param {Api.AuditEntry} entry */
function link({ object, object_id: id }) {
  const words = `${object === "edition" ? "scenario" : object.replaceAll("-", " ")} ${id}`;
  if (object === "edition") return html`<a href=${`/library/${id}`}>${words}</a>`;
  if (object === "scope-policy") return html`<a href=${`/scope-policies/${id}`}>${words}</a>`;
  if (object === "override") return html`<a href="/overrides?show=all">${words}</a>`;
  if (object === "case") return html`<a href=${`/cases/${id}`}>${words}</a>`;
  return object === "plan" ? html`<a href=${`/plans/${id}`}>${words}</a>` : words;
}
