// How an attempt at questions ended: the score, each topic, and every question with its feedback.
import { timeWords } from "../lib/days.js";
import { html } from "../lib/html.js";
import { counted, plain } from "../lib/numbers.js";
import { cutWords } from "../model/own-test.js";
import { TopicWords } from "../model/quiz.js";
import { Caution } from "./caution.js";
import { FiguresTable } from "./figures-table.js";
import { Places } from "./quiz-places.js";
import { Told } from "./quiz-question.js";

/** @param {{quiz: Api.Quiz, own: boolean, late?: number}} props late: answers on this page that did not reach the server before the end */
export function QuizResult({ quiz, own, late = 0 }) {
  const { result, by_topic: topics = [], places = [] } = quiz;
  const judged = topics.some(one => one.judged);
  return html`
    <p>${quiz.status === "submitted" ? `Submitted ${timeWords(quiz.closed_at)}.` : `The time was up ${timeWords(quiz.closed_at)}: what was saved by then counts.`}</p>
    ${late > 0 && html`<p class="notice" role="alert">${counted(late, "answer")} of this page had not reached the server by then and ${late === 1 ? "does" : "do"} not count.</p>`}
    ${result && html`<p class="overall">${result.right} of ${counted(result.items, "question")} right</p>
      <p>${plain(result.points, 2)} of ${counted(result.items, "point")}, ${plain(result.percent, 0)} %${result.method === "unknown" ? "; the standard error is unknown" : ` (standard error ${plain(result.se, 0)} points of a hundred)`}. ${result.answered} answered.</p>`}
    <${FiguresTable} label="By topic" heads=${["Topic", "Of the points"]} rows=${topics.map(one => ({ key: one.topic, cells: [
      TopicWords(one.topic), html`${plain(one.percent, 0)} % of ${counted(one.items, "question")}${judged && html`<small>${one.judged ? `cut ${one.passed ? "" : "not "}reached` : "too few to judge"}</small>`}`] }))} />
    ${quiz.passed !== undefined && html`<p class="strong">${quiz.passed ? "Passed" : "Not passed"}: the passing mark was ${quiz.passed ? "" : "not "}reached.</p>`}
    ${(judged || quiz.test) && html`<p class="small">${quiz.test ? cutWords(quiz.cut_from) : `The cut of ${plain(quiz.cut, 0)} % is an example: no panel has set it.`}${judged && quiz.test ? " Each topic with enough questions is judged by the same mark." : ""}${quiz.negative ? " Wrong answers cost points." : ""}</p>`}
    <${Caution} text=${quiz.caution} />
    <h2>Every question</h2>
    <${Places} places=${places} onPlace=${(/** @type {number} */ place) => document.getElementById(`question-${place}`)?.focus()} />
    ${places.map(place => html`<section class="quiz-question told" aria-label=${`Question ${place.place}`} key=${place.place}><h3 id=${`question-${place.place}`} tabindex="-1">Question ${place.place}</h3><${Told} place=${place} /></section>`)}
    ${own && html`<div class="bar"><a class="button" href="/knowledge">Back to knowledge</a></div>`}`;
}
