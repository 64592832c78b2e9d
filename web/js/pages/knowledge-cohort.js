// What the trainees have shown to know, by topic and year, the weakest topic first; and each trainee's row, which opens what it rests on.
import { withQuery } from "../lib/api.js";
import { html } from "../lib/html.js";
import { counted, percent } from "../lib/numbers.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { timeWords } from "../lib/days.js";
import { TopicWords, quizName } from "../model/quiz.js";
import { Caution } from "../parts/caution.js";
import { ChartFigure } from "../parts/chart.js";
import { FiguresTable } from "../parts/figures-table.js";
import { Page } from "../parts/page.js";
import { Row } from "../parts/row.js";
import { useAll } from "../parts/use-all.js";
import { Empty, Show } from "../parts/waiting.js";

/** A share with its limits and what it is of. @param {{n: number, right: number, share: number, low: number, high: number}} one */
const shareWords = one => (one.n === 0 ? "no answer" : html`${percent(one.share)} <span class="small">(${Math.round(100 * one.low)} to ${Math.round(100 * one.high)}), ${one.right} of ${one.n}</span>`);

/** @param {{query: URLSearchParams}} props */
export function KnowledgeCohortPage({ query }) {
  const who = query.get("trainee") || "";
  const cohort = useResource(at("/cohort-knowledge"));
  const read = /** @type {Api.CohortKnowledge | undefined} */ (cohort.data), one = read?.trainees.find(row => row.id === who);
  return html`<${Page} title=${one ? `Knowledge: ${one.name}` : "Knowledge of the trainees"} lead=${one ? `Year ${one.year}.` : "By topic and year of training, the weakest topic first."} kind="wide">
    ${who && html`<p class="ways"><a href="/knowledge-cohort">All trainees</a><a href=${`/trainees/${encodeURIComponent(who)}/standing`}>Standing</a></p>`}
    <${Show} of=${cohort} what="what they have shown">${(/** @type {Api.CohortKnowledge} */ shown) => html`
      ${who ? html`<${OneTrainee} row=${one} who=${who} />` : html`<${Required} shown=${shown} /><${Topics} shown=${shown} />
        ${shown.charts.map(chart => html`<${ChartFigure} key=${chart.id} chart=${chart} caution=${shown.caution} />`)}<${Trainees} shown=${shown} />`}
      <details class="as-table"><summary>How this is counted</summary><p class="small">${shown.assumptions} Limits: ${shown.method}, ${percent(shown.level)}.</p></details>
      <${Caution} text=${shown.caution} />`}<//>
  <//>`;
}

/** What the standard asks for, and who does not have it yet. @param {{shown: Api.CohortKnowledge}} props */
function Required({ shown }) {
  if (shown.required.length === 0) return html`<p class="small">The standard that judges these trainees asks for no test of questions.</p>`;
  return html`<h2>Asked for by the standard</h2>${shown.required.map(one => html`<p key=${`${one.standard_version} ${one.requirement}`}>${one.says} (Version ${one.standard_version}.)
    ${" "}<strong>${one.lacking.length} of ${counted(one.judged, "trainee")}</strong> not there yet${one.lacking.length > 0 ? ": " : ""}${one.lacking.map((id, i) => html`${i > 0 && ", "}<a
      href=${`/trainees/${encodeURIComponent(id)}/standing`}>${shown.trainees.find(row => row.id === id)?.name || "a trainee"}</a>`)}.</p>`)}`;
}

/** Marks a topic the standard asks for. @param {{shown: Api.CohortKnowledge, topic: string}} props */
const Asked = ({ shown, topic }) => (shown.required.some(one => one.topics.includes(topic)) ? html`<small class="line">asked for</small>` : null);

/** @param {{shown: Api.CohortKnowledge}} props */
const Topics = ({ shown }) => (shown.topics.length === 0 ? html`<${Empty} says="No trainee has closed a set of questions yet.">They find them under Knowledge.<//>`
  : html`<h2>Topics</h2><${FiguresTable} label="Topics by year" heads=${["Topic", "All", ...shown.years.map(year => `Year ${year}`), "Latest test passed"]} rows=${shown.topics.map(topic => ({ key: topic.topic, cells: [
    html`${TopicWords(topic.topic)}<${Asked} shown=${shown} topic=${topic.topic} />`, html`${shareWords(topic.all)}<small class="line">${counted(topic.all.trainees, "trainee")}</small>`,
    ...topic.years.map(year => html`${shareWords(year)}${year.n > 0 && html`<small class="line">${counted(year.trainees, "trainee")}</small>`}`),
    topic.tested === 0 ? "no test yet" : `${topic.passed} of ${topic.tested}`] }))} />`);

/** @param {{shown: Api.CohortKnowledge}} props */
function Trainees({ shown }) {
  const topics = shown.topics.map(one => one.topic).sort();
  return html`<h2>Trainees</h2><${FiguresTable} label="Trainees by topic" heads=${["Trainee", ...topics.map(TopicWords)]} rows=${shown.trainees.map(row => ({ key: row.id, cells: [
    html`<a href=${withQuery("/knowledge-cohort", { trainee: row.id })}>${row.name}</a><small class="line">Year ${row.year}</small>`,
    ...topics.map(topic => { const known = row.topics.find(one => one.topic === topic); return known ? html`${known.right} of ${known.n}` : html`<span class="small">none</span>`; })] }))} />`;
}

/** @param {{row: Api.CohortKnowledge["trainees"][0] | undefined, who: string}} props */
function OneTrainee({ row, who }) {
  const sets = useAll(at("/quizzes"), { trainee: who });
  if (!row) return html`<${Empty} says="This trainee is not among those you see here today."><a href="/knowledge-cohort">All trainees</a><//>`;
  return html`${row.topics.length === 0 ? html`<p>No set of questions is closed yet.</p>` : html`<${FiguresTable} label="By topic" heads=${["Topic", "Right, by the last answer"]} rows=${row.topics.map(one => ({ key: one.topic, cells: [TopicWords(one.topic), shareWords(one)] }))} />`}
    <h2>Sets of questions</h2>
    <${Show} of=${sets} what="the sets">${(/** @type {Api.QuizItem[]} */ list) => (list.length === 0 ? html`<p>None yet.</p>` : html`<ul class="rows">${list.map(quiz => html`<li key=${quiz.id}><${Row} to=${`/quizzes/${quiz.id}`} name=${quizName(quiz)}
      detail=${quiz.result ? `${quiz.result.right} of ${quiz.result.items} right` : "open"} after=${timeWords(quiz.closed_at || quiz.started_at)} /></li>`)}</ul>`)}<//>`;
}
