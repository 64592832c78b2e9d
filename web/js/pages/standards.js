// The programme's standards: every version in plain words, and what two of them say otherwise.
import { html } from "../lib/html.js";
import { dayWords, today } from "../lib/days.js";
import { navigate } from "../lib/navigate.js";
import { counted } from "../lib/numbers.js";
import { useResource } from "../lib/resource.js";
import { at, has } from "../lib/session.js";
import { listed } from "../lib/words.js";
import { Caution } from "../parts/caution.js";
import { SelectField } from "../parts/field.js";
import { List } from "../parts/list.js";
import { MoveForm } from "../parts/move-form.js";
import { Page } from "../parts/page.js";
import { Row } from "../parts/row.js";
import { ExampleNote, StandardChanges, StandardLines } from "../parts/standard-words.js";
import { Empty, Show } from "../parts/waiting.js";

/** @param {Api.StandardItem} item */
const since = item => `${item.in_force_from > today() ? "in force from" : "since"} ${dayWords(item.in_force_from)}`;

export function StandardsPage() {
  return html`<${Page} title="Standards" lead="The programme's thresholds for independence. A version in force never changes.">
    ${has("director", "committee") && html`<div class="bar">${has("director") && html`<a class="button" href="/standards/new">Add a version</a>`}<a class="button quiet" href="/simulations">Simulations</a></div>`}
    <${List} path=${at("/standards")} what="the standards" empty=${html`<${Empty} says="No standard yet: nobody has a standing until the director adds one.">${has("director") && html`<a href="/standards/new?from=example">Begin with the example</a>`}<//>`}>
      ${(/** @type {Api.StandardItem[]} */ items) => html`<ul class="rows">${items.map(item => html`<li
        key=${item.version}><${Row} to=${`/standards/${item.version}`} name=${item.title} detail=${`version ${item.version}${item.example ? " · example: the programme sets its own numbers" : ""}`} after=${since(item)} /></li>`)}</ul>
        ${items.length > 1 && html`<p><a href=${`/standards/${items[0].version}/differences?before=${items[1].version}`}>Compare two versions</a></p>`}`}
    <//>
  <//>`;
}

/** @param {{params: Record<string, string>}} props */
export function StandardPage({ params }) {
  const standard = useResource(at(`/standards/${encodeURIComponent(params.version)}`));
  const read = /** @type {Api.Standard | undefined} */ (standard.data);
  return html`<${Page} title=${read?.title || "Standard"} lead=${read && `Version ${read.version}, ${since(read)}`}>
    <${Show} of=${standard} what="the standard">${(/** @type {Api.Standard} */ shown) => html`
      <p class="ways"><a href="/standards">All versions</a>${shown.version > 1 && html`<a href=${`/standards/${shown.version}/differences`}>What it changed</a>`}${has("director") && html`<a href=${`/standards/new?from=${shown.version}`}>Write a new version from this one</a><a href=${`/simulations/new?version=${shown.version}`}>Try it on made-up trainees</a>`}</p>
      ${shown.example && html`<${ExampleNote} />`}
      ${shown.note && html`<p>${shown.note}</p>`}
      <h2>What it asks for</h2><${StandardLines} lines=${shown.lines} label="What it asks for" />
      ${has("director") && html`<${Judged} standard=${shown} />`}
      <details><summary>The text (YAML)</summary><pre class="yaml" tabindex="0" aria-label="The standard as YAML">${shown.yaml}</pre></details>
      <${Caution} />`}<//>
  <//>`;
}

/** Whom this version judges today, and moving others to it. @param {{standard: Api.Standard}} props */
function Judged({ standard }) {
  const cohort = useResource(at("/cohort"));
  return html`<h2>Whom it judges today</h2><${Show} of=${cohort} what="the cohort">${(/** @type {Api.Cohort} */ { trainees }) => {
    const judged = trainees.filter(one => one.standard_version === standard.version), others = trainees.filter(one => !judged.includes(one));
    return html`<p>${judged.length > 0 ? `${counted(judged.length, "trainee")} of ${trainees.length}: ${listed(judged.map(one => one.name))}.` : `None of ${counted(trainees.length, "trainee")}.`}</p>
      ${others.length > 0 && html`<${MoveForm} name="Move a trainee to this version" trainees=${others} versions=${[standard]} onMoved=${cohort.reload} />`}`;
  }}<//>`;
}

/** @param {{params: Record<string, string>, query: URLSearchParams}} props */
export function StandardDifferencesPage({ params, query }) {
  const before = query.get("before") || "", after = params.version;
  const list = useResource(at("/standards"));
  const found = useResource(at(`/standards/${encodeURIComponent(after)}/differences${before ? `?before=${encodeURIComponent(before)}` : ""}`));
  const read = /** @type {Api.StandardDifferences | undefined} */ (found.data);
  const versions = /** @type {{items: Api.StandardItem[]} | undefined} */ (list.data)?.items || [];
  const choose = (/** @type {string} */ from, /** @type {string} */ to) => navigate(`/standards/${to}/differences?before=${from}`, { replace: true });
  const options = versions.map(one => ({ id: String(one.version), name: `Version ${one.version}: ${one.title}${one.example ? " (example)" : ""}, ${since(one)}` }));
  const shownBefore = String(read?.before.version || before);
  return html`<${Page} title="Two versions compared" lead="What the standard asks for otherwise, line by line.">
    <p class="ways"><a href="/standards">All versions</a></p>
    <div class="two"><${SelectField} label="Before" name="before" options=${options} value=${shownBefore} onValue=${(/** @type {string} */ id) => choose(id, after)} />
      <${SelectField} label="After" name="after" options=${options} value=${after} onValue=${(/** @type {string} */ id) => choose(shownBefore, id)} /></div>
    <${Show} of=${found} what="the differences">${(/** @type {Api.StandardDifferences} */ shown) => html`
      ${(shown.before.example || shown.after.example) && html`<${ExampleNote} />`}
      ${shown.changes.length === 0 ? html`<p>They ask for the same.</p>` : html`<p>${counted(shown.changes.length, "line")} ${shown.changes.length === 1 ? "differs" : "differ"}.</p><${StandardChanges} changes=${shown.changes} label="What differs" />`}
      ${shown.same.length > 0 && html`<h2>The same in both</h2><${StandardLines} lines=${shown.same} label="The same in both" />`}`}<//>
  <//>`;
}
