// A question as its reviewer reads it: what is asked, what is right and why, and what is said to each wrong answer.
import { html } from "../lib/html.js";
import { word } from "../lib/words.js";
import { TopicWords } from "../model/quiz.js";
import { taskLines } from "../model/question-difference.js";
import { kindName, rulesOf } from "../model/question-draft.js";
import { MapTold } from "./quiz-map.js";

/** @param {{item: Api.QuestionText}} props */
export function QuestionReading({ item }) {
  const key = item.key || [];
  const rule = rulesOf(item.kind).find(one => one.id === (item.rule || ""))?.name || item.rule;
  return html`<section class="quiz-question" aria-label="The question with its answer">
    <p class="stem strong">${item.stem || "(no words yet)"}</p>
    ${item.kind === "ordering" ? html`<ol class="steps">${key.map(id => item.options?.find(one => one.id === id)).map(one => one && html`<li><span class="step-name">${one.text}<small class="line">${one.feedback}</small></span></li>`)}</ol>`
      : (item.options || []).length > 0 && html`<ul class="marked answers">${(item.options || []).map(one => html`<li class=${key.includes(one.id) ? "is-key" : undefined}>${one.text}${key.includes(one.id) && html`<strong> Right.</strong>`}<small class="line">${one.feedback}</small></li>`)}</ul>`}
    ${item.number && html`<p>Right: ${item.number.value} ${item.number.unit}${item.number.tolerance ? `, give or take ${item.number.tolerance}` : ""}.</p>
      ${(item.number.misses || []).map(one => html`<p class="small">To ${one.value}: ${one.feedback}</p>`)}`}
    ${item.map && html`<p class="small">${taskLines(item.map).join("; ")}.</p><${MapTold} task=${item.map} path=${[]} right=${item.map.key} />${(item.map.misses || []).map((one, i) => html`<p class="small">To wrong drawing ${i + 1}: ${one.feedback}</p>`)}`}
    <p>${item.rationale}</p>
    <p class="small">Source: ${item.source || "(none yet)"}</p>
    <p class="small">${[kindName(item.kind), item.topic && TopicWords(item.topic), word(item.difficulty), rule && `marked ${rule.charAt(0).toLowerCase()}${rule.slice(1)}`, (item.not_with || []).length > 0 && `never beside ${(item.not_with || []).join(", ")}`].filter(Boolean).join("; ")}.</p>
  </section>`;
}
