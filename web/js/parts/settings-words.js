// A programme's settings in plain words, what a version changed, and what it makes of made-up situations.
import { html } from "../lib/html.js";
import { listed, word } from "../lib/words.js";
import { stepName } from "./case-fields.js";

/** @param {{lines: Api.SettingsLine[]}} props */
export const SettingsLines = ({ lines }) => html`<dl class="settings-lines">${lines.map(line => html`<dt>${line.title}</dt><dd>${line.says}</dd>`)}</dl>`;

/** @param {{changes: Api.SettingsChange[], atrium: import("../model/atrium.js").Atrium, label: string}} props */
export const SettingsChanges = ({ changes, atrium, label }) => html`<ul class="settings-changes" aria-label=${label}>${changes.map(change => html`<li key=${change.field}>
  <p class="strong">${change.title}</p>
  <dl>${change.added.length + change.removed.length === 0 && html`<dt>Before</dt><dd>${change.before}</dd><dt>After</dt><dd>${change.after}</dd>`}
  ${change.added.length > 0 && html`<dt>Added</dt><dd>${names(change, change.added, atrium)}</dd>`}${change.removed.length > 0 && html`<dt>Removed</dt><dd>${names(change, change.removed, atrium)}</dd>`}</dl></li>`)}</ul>`;

/** Key steps go by the names of lesions; anything else is named as it is. @param {Api.SettingsChange} change @param {string[]} ids @param {import("../model/atrium.js").Atrium} atrium */
const names = (change, ids, atrium) => listed(ids.map(id => (change.field === "role_rule.key_steps" ? stepName(atrium, id) : id)));

/** @type {Record<string, string>} */
const about = { role_rule: "Role in made-up operations", follow_up: "Success in made-up follow-ups" };

/** What the rules make of made-up situations, now and then. @param {{examples: Api.SettingsExample[]}} props */
export const SettingsExamples = ({ examples }) => html`${Object.keys(about).map(field => html`<div class="scroll" tabindex="0" role="region" aria-label=${about[field]} key=${field}><table class="examples">
  <caption>${about[field]}</caption>
  <thead><tr><th scope="col">Situation</th><th scope="col">As it holds</th><th scope="col">With these settings</th></tr></thead>
  <tbody>${examples.filter(one => one.field === field).map(one => html`<tr key=${one.situation}><th scope="row">${one.situation}</th>
    <td>${word(one.before)}<br /><span class="small">${one.before_why}</span></td>
    <td>${one.after === one.before ? "the same" : html`<strong>now ${word(one.after)}</strong><br /><span class="small">${one.after_why}</span>`}</td></tr>`)}</tbody></table></div>`)}`;
