// A scenario of the library: its draft being written, or the version there is, to read and to decide on.
import { html } from "../lib/html.js";
import { useResource } from "../lib/resource.js";
import { at, session } from "../lib/session.js";
import { Word } from "../lib/words.js";
import { whole } from "../model/scenario-draft.js";
import { EditionActs, EditionHistory } from "../parts/edition-acts.js";
import { EditionEditor } from "../parts/edition-editor.js";
import { EditionReading } from "../parts/edition-reading.js";
import { Page } from "../parts/page.js";
import { Changes } from "../parts/scenario-differences.js";
import { StatusSign } from "../parts/signs.js";
import { useAtrium } from "../parts/use-atrium.js";
import { Show } from "../parts/waiting.js";

/** @param {Api.Edition | undefined} head */
const lead = head => head && html`<span class="status-line"><${StatusSign} status=${head.status} />${Word(head.status)}, version ${head.version}${head.live_version && head.live_version !== head.version
  ? `; version ${head.live_version} is live` : ""}. ${head.author_name ? `By ${head.author_name}` : ""}${head.reviewer_name ? `, reviewed by ${head.reviewer_name}` : ""}</span>`;

/** @param {{params: Record<string, string>, query: URLSearchParams}} props */
export function EditionPage({ params, query }) {
  const edition = useResource(at(`/library/${encodeURIComponent(params.edition)}`));
  const read = /** @type {Api.EditionDetail | undefined} */ (edition.data);
  const writing = read?.head.status === "draft" && read.head.may.includes("edit") && query.get("view") !== "read";
  return html`<${Page} title=${read?.head.title || read?.head.id || "Scenario"} lead=${lead(read?.head)} kind="planner">
    <${Show} of=${edition} what="the scenario">${(/** @type {Api.EditionDetail} */ detail) => html`
      <${Ways} head=${detail.head} writing=${writing} />
      ${writing ? html`<${EditionEditor} key=${detail.head.id} detail=${detail} onDone=${edition.set} />`
        : html`<${Reading} key=${`${detail.head.version} ${detail.head.revision}`} detail=${detail} onDone=${edition.set} />`}`}<//>
  <//>`;
}

/** @param {{head: Api.Edition, writing: boolean}} props */
function Ways({ head, writing }) {
  const here = `/library/${encodeURIComponent(head.id)}`, draft = head.status === "draft" && head.may.includes("edit");
  return html`<p class="ways"><a href="/library">Library</a>${draft && (writing ? html`<a href=${`${here}?view=read`}>Read as a reviewer does</a>` : html`<a href=${here}>Write</a>`)}
    <a href=${`${here}/file`}>File</a></p>`;
}

/** @param {{detail: Api.EditionDetail, onDone: (detail: Api.EditionDetail) => void}} props */
function Reading({ detail, onDone }) {
  const { head, pattern } = detail, scenario = whole(detail.scenario), path = at(`/library/${encodeURIComponent(head.id)}`);
  const versions = useResource(`${path}/versions`);
  const live = useResource(head.live_version && head.live_version !== head.version ? `${path}/versions/${head.live_version}` : null);
  const atrium = useAtrium(scenario.patient.left_atrium_mm || undefined, scenario.patient.right_atrium_mm || undefined);
  return html`<${Show} of=${atrium} what="the map">${(/** @type {import("../model/atrium.js").Atrium} */ shape) => html`
    <${EditionActs} detail=${detail} me=${session.value?.person.id || ""} onDone=${onDone} />
    <${EditionReading} scenario=${scenario} pattern=${pattern} atrium=${shape} />
    ${head.live_version && head.live_version !== head.version ? html`<h2 id="changes">What changed since version ${head.live_version}, which is live</h2>
      <${Show} of=${live} what="the live version">${(/** @type {Api.EditionVersionDetail} */ before) => html`<${Changes} now=${scenario} before=${whole(before.scenario)} atrium=${shape} />`}<//>` : null}
    <${EditionHistory} detail=${detail} versions=${versions} />`}<//>`;
}

/** One version that went live, as it was. @param {{params: Record<string, string>}} props */
export function EditionVersionPage({ params }) {
  const path = at(`/library/${encodeURIComponent(params.edition)}`);
  const version = useResource(`${path}/versions/${encodeURIComponent(params.version)}`);
  const read = /** @type {Api.EditionVersionDetail | undefined} */ (version.data);
  const versions = useResource(`${path}/versions`);
  const earlier = /** @type {{items: Api.EditionVersion[]} | undefined} */ (versions.data)?.items.map(one => one.version).filter(one => one < Number(params.version)).sort((a, b) => b - a)[0];
  const before = useResource(earlier ? `${path}/versions/${earlier}` : null);
  const patient = read?.scenario.patient;
  const atrium = useAtrium(patient?.left_atrium_mm, patient?.right_atrium_mm);
  const says = read && html`<span class="status-line"><${StatusSign} status=${read.status} />${Word(read.status)}, version ${read.version}. ${read.author_name ? `By ${read.author_name}` : ""}${read.reviewer_name ? `, reviewed by ${read.reviewer_name}` : ""}</span>`;
  return html`<${Page} title=${read?.title || "Scenario"} lead=${says} kind="planner">
    <p class="ways"><a href="/library">Library</a><a href=${`/library/${encodeURIComponent(params.edition)}`}>The newest version</a></p>
    <${Show} of=${version} what="the version">${(/** @type {Api.EditionVersionDetail} */ detail) => html`<${Show} of=${atrium} what="the map">${(/** @type {import("../model/atrium.js").Atrium} */ shape) => html`
      <${EditionReading} scenario=${whole(detail.scenario)} atrium=${shape} />
      ${before.data && html`<h2>What changed since version ${earlier}</h2><${Changes} now=${whole(detail.scenario)} before=${whole(/** @type {any} */ (before.data).scenario)} atrium=${shape} />`}`}<//>`}<//>
  <//>`;
}
