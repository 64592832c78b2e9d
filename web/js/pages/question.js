// One question of the bank: its draft being written, or what there is, to read and to decide on.
import { html } from "../lib/html.js";
import { useResource } from "../lib/resource.js";
import { dayWords } from "../lib/days.js";
import { at, session } from "../lib/session.js";
import { Word } from "../lib/words.js";
import { faultLines } from "../model/question-draft.js";
import { ActsDone, LifeActs } from "../parts/edition-acts.js";
import { Caution } from "../parts/caution.js";
import { Page } from "../parts/page.js";
import { Preview, QuestionEditor } from "../parts/question-editor.js";
import { QuestionChanges } from "../parts/question-differences.js";
import { QuestionReading } from "../parts/question-reading.js";
import { StatusSign } from "../parts/signs.js";
import { useAll } from "../parts/use-all.js";
import { Show } from "../parts/waiting.js";

/** @param {Api.QuestionHead | undefined} head */
const lead = head => head && html`<span class="status-line"><${StatusSign} status=${head.status} />${Word(head.status)}, version ${head.version}${head.live_version && head.live_version !== head.version
  ? `; version ${head.live_version} is live` : ""}. ${head.author_name ? `By ${head.author_name}` : ""}${head.reviewer_name ? `, reviewed by ${head.reviewer_name}` : ""}</span>`;

/** @param {{params: Record<string, string>, query: URLSearchParams}} props */
export function QuestionPage({ params, query }) {
  const path = at(`/questions/${encodeURIComponent(params.question)}`);
  const one = useResource(path), all = useAll(at("/questions"));
  const read = /** @type {Api.QuestionDetail | undefined} */ (one.data);
  const draft = read?.head.status === "draft" && read.head.may.includes("edit"), writing = draft && query.get("view") !== "read";
  const here = `/questions/${encodeURIComponent(params.question)}`;
  return html`<${Page} title=${read?.head.id || "Question"} lead=${lead(read?.head)} kind="wide">
    <${Show} of=${one} what="the question">${(/** @type {Api.QuestionDetail} */ detail) => html`
      <p class="ways"><a href="/questions">Questions</a>${draft && (writing ? html`<a href=${`${here}?view=read`}>Read as a reviewer does</a>` : html`<a href=${here}>Write</a>`)}</p>
      ${writing ? all.data && html`<${QuestionEditor} key=${detail.head.id} detail=${detail} heads=${all.data} onDone=${one.set} />` : html`<${Reading} key=${detail.head.revision} detail=${detail} path=${path} onDone=${one.set} />`}
      <${Caution} text=${detail.caution} />`}<//>
  <//>`;
}

/** @param {{detail: Api.QuestionDetail, path: string, onDone: (detail: Api.QuestionDetail) => void}} props */
function Reading({ detail, path, onDone }) {
  const versions = useResource(`${path}/versions`), lines = faultLines(detail.faults);
  const live = detail.head.live_version, changed = live > 0 && live !== detail.head.version;
  return html`<${LifeActs} head=${detail.head} path=${path} me=${session.value?.person.id || ""} onDone=${onDone}
      inWords=${(/** @type {import("../lib/problem.js").ApiProblem} */ problem) => faultLines([...problem.byField("item")].map(([field, message]) => ({ field, message }))).map(line => line.says)} />
    ${lines.length > 0 && html`<div class="fault-summary"><p class="strong">To mend before it can be asked</p><ul>${lines.map(line => html`<li>${line.says}</li>`)}</ul></div>`}
    <div class="two"><div><h2 class="first">With its answer</h2><${QuestionReading} item=${detail.item} /></div><${Preview} shown=${detail.shown} stale=${false} /></div>
    ${changed && html`<h2>What changed since version ${live}, which is asked</h2>
      <${Show} of=${versions} what="the version that is asked">${(/** @type {{items: Api.QuestionVersion[]}} */ { items }) => items.filter(one => one.version === live).map(one => html`<${QuestionChanges} now=${detail.item} before=${one.item} />`)}<//>`}
    ${detail.twins.length > 0 && html`<h2>Much like it</h2><ul>${detail.twins.map(twin => html`<li><a href=${`/questions/${encodeURIComponent(twin.item)}`}>${twin.stem}</a></li>`)}</ul>`}
    <div class="two edition-history">
      <section aria-labelledby="versions-title"><h2 id="versions-title">Versions that were asked</h2>
        <${Show} of=${versions} what="the versions">${(/** @type {{items: Api.QuestionVersion[]}} */ { items }) => (items.length === 0 ? html`<p>None yet.</p>` : items.map((one, i) => html`<details key=${one.version}>
          <summary>Version ${one.version}: ${Word(one.status)}<small>${[one.author_name && `by ${one.author_name}`, one.reviewer_name && `reviewed by ${one.reviewer_name}`, one.live_from && `since ${dayWords(one.live_from)}`].filter(Boolean).join(", ")}</small></summary>
          <${QuestionReading} item=${one.item} />
          ${items[i + 1] && html`<h3>What it changed in version ${items[i + 1].version}</h3><${QuestionChanges} now=${one.item} before=${items[i + 1].item} />`}</details>`))}<//>
      </section>
      <${ActsDone} acts=${detail.acts} />
    </div>`;
}
