// The scope policies of the programme: every version, and one to read.
import { useState } from "preact/hooks";
import { html } from "../lib/html.js";
import { dayWords, today } from "../lib/days.js";
import { useResource } from "../lib/resource.js";
import { at, has } from "../lib/session.js";
import { Caution } from "../parts/caution.js";
import { Page } from "../parts/page.js";
import { PolicyParts } from "../parts/policy-parts.js";
import { Row } from "../parts/row.js";
import { useAtrium } from "../parts/use-atrium.js";
import { Show } from "../parts/waiting.js";

/** @param {Api.ScopePolicyItem} item */
const address = item => `/scope-policies/${item.source === "starter" ? "default" : item.version}`;

/** @param {Api.ScopePolicyItem} item */
function since(item) {
  if (item.in_force) return item.in_force_from ? `in force since ${dayWords(item.in_force_from)}` : "in force";
  if (!item.in_force_from) return "comes with the program";
  return item.in_force_from > today() ? `in force from ${dayWords(item.in_force_from)}` : `was in force from ${dayWords(item.in_force_from)}`;
}

export function ScopePoliciesPage() {
  const list = useResource(at("/scope-policies"));
  return html`<${Page} title="Scope policies" lead="Which scope of ablation suits which patient, with the evidence beside each row, and how a grade is weighed. A version never changes; every grade names the one it used.">
    ${has("director") && html`<div class="bar"><a class="button" href="/scope-policies/new">Write a new version</a></div>`}
    <${Show} of=${list} what="the scope policies">${(/** @type {{items: Api.ScopePolicyItem[]}} */ { items }) => html`<ul class="rows">${items.map(item => html`<li
      key=${`${item.source} ${item.version}`}><${Row} to=${address(item)} name=${item.title} current=${item.in_force} detail=${[`${item.id}, version ${item.version}`, item.created_by_name && `by ${item.created_by_name}`].filter(Boolean).join(", ")} after=${since(item)} /></li>`)}</ul><${Caution} />`}<//>
  <//>`;
}

const none = new Map();

/** @param {{params: Record<string, string>, query: URLSearchParams}} props */
export function ScopePolicyPage({ params, query }) {
  const policy = useResource(at(`/scope-policies/${encodeURIComponent(params.version)}`));
  const atrium = useAtrium();
  const [tab, setTab] = useState("rows");
  const read = /** @type {Api.ScopePolicyDetail | undefined} */ (policy.data);
  const graded = Number(query.get("graded"));
  return html`<${Page} title=${read?.title || "Scope policy"} lead=${read && `${read.id}, version ${read.version}, ${since(read)}${read.created_by_name ? `, by ${read.created_by_name}` : ""}`} kind="wide">
    <p class="ways"><a href="/scope-policies">All versions</a>${has("director") && html`<a href=${`/scope-policies/new?from=${encodeURIComponent(params.version)}`}>Write a new version from this one</a>`}</p>
    ${read && graded > 0 && graded !== read.version && html`<p class="notice">The grade you came from used version ${graded} of the policy that comes with the program; the program has version ${read.version} now. The grade stays as it was.</p>`}
    <${Show} of=${policy} what="the policy">${(/** @type {Api.ScopePolicyDetail} */ detail) => html`<${Show} of=${atrium} what="the words">${(/** @type {import("../model/atrium.js").Atrium} */ shape) => html`
      <${PolicyParts} policy=${detail.policy} facts=${shape.facts} faults=${none} tab=${tab} onTab=${setTab} />
      <${Caution} text=${shape.facts.caution} />`}<//>`}<//>
  <//>`;
}
