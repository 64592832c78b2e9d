// What changed in a case: between two versions, since it was signed, or while it was open on this screen.
import { timeWords } from "../lib/days.js";
import { html } from "../lib/html.js";
import { ApiProblem, meanwhileWords } from "../lib/problem.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { recordChanges } from "../model/case-changes.js";
import { Show } from "./waiting.js";

/** @typedef {import("../model/atrium.js").Atrium} Atrium */

/** @param {{changes: import("../model/case-changes.js").Change[], was: string, is: string, label?: string}} props was, is: what the two are called */
export const ChangeTable = ({ changes, was, is, label = "What changed" }) => html`<div class="scroll" tabindex="0" role="region" aria-label=${label}><table class="changes">
  <thead><tr><th scope="col">What changed</th><th scope="col">${was}</th><th scope="col">${is}</th></tr></thead>
  <tbody>${changes.map(({ what, was: before, is: after }) => html`<tr key=${what}><th scope="row">${what}</th><td>${before || "-"}</td><td>${after || "-"}</td></tr>`)}</tbody>
</table></div>`;

/** Said where an act was refused because somebody came first: who did what, when, and what is otherwise in the record now.
 * @param {{detail: Api.CaseDetail, atrium: Atrium, problem: unknown, onNewer: () => void}} props detail: as it was on the screen */
export function CaseMeanwhile({ detail, atrium, problem, onNewer }) {
  const newest = useResource(at(`/cases/${encodeURIComponent(detail.case.id)}`));
  const changed = problem instanceof ApiProblem ? problem.changed : undefined;
  return html`<div class="notice" role="alert"><p class="strong">${changed ? meanwhileWords(changed) : "Someone changed it meanwhile"}. Nothing was signed.</p>
    <${Show} of=${newest} what="the newer version">${(/** @type {Api.CaseDetail} */ now) => {
      const changes = recordChanges(detail.case.record, now.case.record, atrium);
      return html`<p>You saw ${detail.case.version === now.case.version ? `version ${now.case.version} as well` : `version ${detail.case.version}; it is at version ${now.case.version} now`}${changes.length === 0 ? ", and its record says the same." : ":"}</p>
        ${changes.length > 0 && html`<${ChangeTable} changes=${changes} was="What you saw" is="What it says now" label="What changed meanwhile" />`}`;
    }}<//>
    <div class="bar"><button type="button" onClick=${onNewer}>Go on with what it says now</button></div></div>`;
}

/** Said above the next version of a case that was signed before: why, and what is otherwise than in the version signed last. @param {{detail: Api.CaseDetail, atrium: Atrium}} props */
export function SinceSigned({ detail, atrium }) {
  const { id, signed_version: signed = 0, version } = detail.case;
  const versions = useResource(signed > 0 ? at(`/cases/${encodeURIComponent(id)}/versions`) : null);
  if (signed === 0) return null;
  return html`<div class="notice"><p class="strong">You signed version ${signed} of this case. This is version ${version}.</p>
    <${Show} of=${versions} what="the versions">${(/** @type {Api.CaseVersions} */ { items }) => {
      const was = items.find(item => item.version === signed), is = items.find(item => item.version === version);
      if (!was || !is) return null;
      const changes = recordChanges(was.record, is.record, atrium);
      return html`${is.opened && html`<p>${is.opened.by_name}, ${timeWords(is.opened.at)}: <q>${is.opened.reason}</q></p>`}
        ${changes.length === 0 ? html`<p>The record says the same as in version ${signed}.</p>` : html`<${ChangeTable} changes=${changes} was=${`Version ${signed}`} is=${`Version ${version}`} label="What changed since you signed" />`}`;
    }}<//></div>`;
}
