// The bank of questions: every question of the programme with where it stands, and beginning, importing or taking them out.
import { useState } from "preact/hooks";
import { dayWords } from "../lib/days.js";
import { html } from "../lib/html.js";
import { counted } from "../lib/numbers.js";
import { at, session } from "../lib/session.js";
import { Word, word } from "../lib/words.js";
import { nextStep, rank, waitsForMe } from "../model/edition.js";
import { kindName, kinds, matchingQuestions } from "../model/question-draft.js";
import { TopicWords } from "../model/quiz.js";
import { SelectField, TextField } from "../parts/field.js";
import { Page } from "../parts/page.js";
import { Row } from "../parts/row.js";
import { StatusSign } from "../parts/signs.js";
import { useAll } from "../parts/use-all.js";
import { Empty, Show } from "../parts/waiting.js";

const statuses = ["draft", "in-review", "live", "retired"].map(id => ({ id, name: Word(id) }));

/** How many are shown before one asks for more: a long page is slow on a phone. */
const some = 40;

export function QuestionsPage() {
  const bank = useAll(at("/questions"));
  const [wanted, setWanted] = useState({ status: "", topic: "", kind: "", text: "" });
  const [shownUpTo, setShownUpTo] = useState(some);
  const me = session.value?.person.id || "";
  const want = (/** @type {Partial<typeof wanted>} */ change) => { setWanted({ ...wanted, ...change }); setShownUpTo(some); };
  return html`<${Page} title="Questions" lead="The programme's questions with their answers. Faculty write them, another member of faculty reviews them, and only then trainees are asked." kind="wide">
    <div class="bar"><a class="button" href="/questions/new">New question</a><a class="button quiet" href="/questions/import">Import a file</a></div>
    <p class="ways"><a href=${`/api${at("/questions-file")}?format=qti`} download="questions.zip">Take out as QTI 3.0</a><a href=${`/api${at("/questions-file")}?format=csv`} download="questions.csv">Take out as CSV</a></p>
    <${Show} of=${bank} what="the questions">${(/** @type {Api.QuestionHead[]} */ heads) => {
      const fitting = matchingQuestions(heads, wanted).sort((a, b) => rank(a, me) - rank(b, me) || a.topic.localeCompare(b.topic, "en") || a.id.localeCompare(b.id, "en"));
      const waiting = heads.filter(head => waitsForMe(head, me)).length, topics = [...new Set(heads.map(head => head.topic).filter(Boolean))].sort();
      return html`
        ${waiting > 0 && html`<p class="strong">${counted(waiting, "question")} ${waiting === 1 ? "waits" : "wait"} for your review.</p>`}
        <div class="filters four">
          <${SelectField} label="Status" value=${wanted.status} options=${statuses} choose="Any" onValue=${(/** @type {string} */ status) => want({ status })} />
          <${SelectField} label="Topic" value=${wanted.topic} options=${topics.map(id => ({ id, name: TopicWords(id) }))} choose="Any" onValue=${(/** @type {string} */ topic) => want({ topic })} />
          <${SelectField} label="Kind" value=${wanted.kind} options=${kinds} choose="Any" onValue=${(/** @type {string} */ kind) => want({ kind })} />
          <${TextField} label="Find" type="search" value=${wanted.text} onValue=${(/** @type {string} */ text) => want({ text })} />
        </div>
        <p class="small" role="status">${fitting.length === heads.length ? counted(heads.length, "question") : `${fitting.length} of ${counted(heads.length, "question")}`}</p>
        ${fitting.length === 0 ? html`<${Empty} says="No question fits.">Choose less, or look for fewer words.<//>`
          : html`<ul class="rows library">${fitting.slice(0, shownUpTo).map(head => html`<li key=${head.id}><${Head} head=${head} me=${me} /></li>`)}</ul>`}
        ${fitting.length > shownUpTo && html`<button type="button" class="quiet" onClick=${() => setShownUpTo(shownUpTo + 2 * some)}>Show more</button>`}`;
    }}<//>
  <//>`;
}

/** @param {{head: Api.QuestionHead, me: string}} props */
function Head({ head, me }) {
  const kind = kindName(head.kind), facts = [head.topic && TopicWords(head.topic), kind.charAt(0).toLowerCase() + kind.slice(1), word(head.difficulty)].filter(Boolean).join("; ");
  const people = [head.source === "starter" ? "starter bank" : head.author_name && `by ${head.author_name}`, head.reviewer_name && `reviewed by ${head.reviewer_name}`, head.revision > 0 && dayWords(head.updated_at)].filter(Boolean).join(", ");
  const version = head.live_version && head.live_version !== head.version ? `version ${head.version}; ${head.live_version} is live` : `version ${head.version}`;
  return html`<${Row} to=${`/questions/${encodeURIComponent(head.id)}`} name=${head.stem || head.id} detail=${`${facts}; ${people}`}
    before=${html`<span class="status-words"><${StatusSign} status=${head.status} /><span>${Word(head.status)}<small>${version}</small></span></span>`}
    after=${html`<span class=${waitsForMe(head, me) ? "strong" : ""}>${nextStep(head, me)}</span>`} />`;
}
