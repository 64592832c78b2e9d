// The versions of a case: who submitted each, when and why, who signed it, and what changed between any two.
import { useState } from "preact/hooks";
import { timeWords } from "../lib/days.js";
import { html } from "../lib/html.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { versionChanges } from "../model/case-changes.js";
import { ChangeTable } from "../parts/case-changes.js";
import { ComputedFacts, RecordFacts } from "../parts/case-facts.js";
import { SignedStatement } from "../parts/case-history.js";
import { Caution } from "../parts/caution.js";
import { SelectField } from "../parts/field.js";
import { LesionTable } from "../parts/lesion-table.js";
import { Page } from "../parts/page.js";
import { Hash } from "../parts/signature.js";
import { useAtrium } from "../parts/use-atrium.js";
import { Empty, Show } from "../parts/waiting.js";

/** @typedef {import("../model/atrium.js").Atrium} Atrium */

/** @param {{params: Record<string, string>}} props */
export function CaseVersionsPage({ params }) {
  const id = encodeURIComponent(params.case);
  const versions = useResource(at(`/cases/${id}/versions`));
  const atrium = useAtrium();
  return html`<${Page} title="Versions of a case" lead=${html`What was submitted never changes. <a href=${`/cases/${id}`}>Back to the case</a>`}>
    <${Show} of=${versions} what="the versions">${(/** @type {Api.CaseVersions} */ list) => html`
      <${Show} of=${atrium} what="the catalogue">${(/** @type {Atrium} */ shape) => (list.items.length === 0
        ? html`<${Empty} says="The case was never submitted: it has no version yet." />`
        : html`<${Between} items=${list.items} atrium=${shape} />
          <h2>Every version</h2>${list.items.toReversed().map(item => html`<${Version} key=${item.version} item=${item} atrium=${shape} />`)}<${Caution} text=${list.caution} />`)}<//>`}<//>
  <//>`;
}

/** What changed between two versions that are chosen. @param {{items: Api.CaseVersion[], atrium: Atrium}} props */
function Between({ items, atrium }) {
  const newest = items[items.length - 1].version;
  const [from, setFrom] = useState(items[items.length - 2]?.version || 0);
  const [to, setTo] = useState(newest);
  if (items.length === 1) return html`<p>The case has one version: nothing has changed in it since it was first submitted.</p>`;
  const options = items.map(item => ({ id: String(item.version), name: `Version ${item.version}${item.sign_off ? ", signed" : ""}` }));
  const was = items.find(item => item.version === from), is = items.find(item => item.version === to);
  const groups = was && is ? versionChanges(was, is, atrium) : [];
  return html`<h2>What changed</h2>
    <div class="between"><${SelectField} label="From" value=${String(from)} options=${options} onValue=${(/** @type {string} */ id) => setFrom(Number(id))} />
      <${SelectField} label="To" value=${String(to)} options=${options} onValue=${(/** @type {string} */ id) => setTo(Number(id))} /></div>
    ${groups.length === 0 && html`<p role="status">${from === to ? "Choose two versions." : `Nothing differs between version ${from} and version ${to}.`}</p>`}
    ${groups.map(group => html`<h3>${group.heading}</h3><${ChangeTable} changes=${group.changes} was=${`Version ${from}`} is=${`Version ${to}`} label=${`What changed: ${group.heading}`} />`)}`;
}

/** @type {Record<string, string>} */
const asked = { amend: "opened the amendment", return: "returned the version before" };

/** @param {{item: Api.CaseVersion, atrium: Atrium}} props */
const Version = ({ item, atrium }) => html`<section class="statement" aria-label=${`Version ${item.version}`}>
  <h3>Version ${item.version}${item.counts ? ": the one that counts" : ""}</h3>
  <p>Submitted by ${item.by_name}, ${timeWords(item.submitted_at)}. ${item.sign_off ? "" : "Not signed."}</p>
  ${item.opened && html`<p>${item.opened.by_name} ${asked[item.opened.kind] || item.opened.kind}, ${timeWords(item.opened.at)}: <q>${item.opened.reason}</q></p>`}
  ${item.sign_off ? html`<${SignedStatement} signOff=${item.sign_off} facts=${atrium.facts} />` : html`<p class="small">Content, SHA-256: <${Hash} hash=${item.content_hash} /></p>`}
  <details class="as-table"><summary>The record of version ${item.version} in full</summary>
    <${RecordFacts} record=${item.record} facts=${atrium.facts} />
    ${item.record.note && html`<p>${item.record.note}</p>`}
    <${LesionTable} atrium=${atrium} lesions=${item.record.lesions} appendage=${item.record.left_appendage} />
    <${ComputedFacts} computed=${item.computed} />
  </details>
</section>`;
