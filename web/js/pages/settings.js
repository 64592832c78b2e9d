// What the programme decides for itself: what holds, in plain words, and every version of it.
import { timeWords } from "../lib/days.js";
import { html } from "../lib/html.js";
import { useResource } from "../lib/resource.js";
import { at, has } from "../lib/session.js";
import { Page } from "../parts/page.js";
import { SettingsChanges, SettingsLines } from "../parts/settings-words.js";
import { useAtrium } from "../parts/use-atrium.js";
import { Show } from "../parts/waiting.js";

export function SettingsPage() {
  const versions = useResource(at("/settings-versions"));
  const atrium = useAtrium();
  return html`<${Page} title="Settings of the programme" lead="What the programme decides for itself. A change holds from the moment it is made; what was signed before keeps what it was signed by.">
    ${has("director") && html`<div class="bar"><a class="button" href="/settings/new">Change the settings</a></div>`}
    <${Show} of=${versions} what="the settings">${(/** @type {{items: Api.SettingsView[]}} */ { items }) => html`<${Show} of=${atrium} what="the words">${(/** @type {import("../model/atrium.js").Atrium} */ shape) => html`
      <section aria-label="What holds"><h2>What holds</h2>
        <p class="small">${since(items[0])} Role rule ${items[0].settings.role_rule?.version}, follow-up rule ${items[0].settings.follow_up?.version}.</p>
        <${SettingsLines} lines=${items[0].says} /></section>
      <section aria-label="Versions"><h2>Versions</h2>
        <ol class="rows settings-versions" reversed>${items.map(one => html`<${Version} key=${one.version} one=${one} newest=${one === items[0]} atrium=${shape} />`)}</ol></section>`}<//>`}<//>
  <//>`;
}

/** @param {Api.SettingsView} one */
const since = one => (one.version === 0 ? `As the programme began, ${timeWords(one.created_at)}.` : `Version ${one.version}, in force from ${timeWords(one.created_at)}, by ${one.created_by_name}.`);

/** @param {{one: Api.SettingsView, newest: boolean, atrium: import("../model/atrium.js").Atrium}} props */
const Version = ({ one, newest, atrium }) => html`<li class="settings-version">
  <h3>${one.version === 0 ? "How it began" : `Version ${one.version}`}${newest && html` <span class="small">holds now</span>`}</h3>
  <p>${since(one)}</p>
  ${one.reason && html`<p>Why: <q>${one.reason}</q></p>`}
  ${one.changes.length > 0 && html`<${SettingsChanges} changes=${one.changes} atrium=${atrium} label=${`What version ${one.version} changed`} />`}
  ${!newest && html`<details class="adjust"><summary>All of what held then</summary><${SettingsLines} lines=${one.says} /></details>`}
</li>`;
