// One piece of evidence as a line that opens it, and what such pieces are called.
import { html } from "../lib/html.js";
import { withQuery } from "../lib/api.js";
import { dayWords } from "../lib/days.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { quizName } from "../model/quiz.js";
import { title } from "./case-rows.js";
import { Row } from "./row.js";
import { useAtrium } from "./use-atrium.js";

/** @param {{id: string, kind: string, name?: {what: string, when: string}, why?: string}} props */
export const EvidenceRow = ({ id, kind, name, why }) => html`<${Row} to=${`/${kind === "plan" ? "plans" : kind === "quiz" ? "quizzes" : "cases"}/${id}${kind === "follow-up" ? "/follow-up" : ""}`}
  name=${name?.what || (kind === "plan" ? "Graded plan" : kind === "quiz" ? "Quiz" : "Case")} detail=${[name?.when, why].filter(Boolean).join(": ")} />`;

/** What the pieces of evidence are called. They are links first: a name that cannot be read is no reason to hide one.
 * @param {string} trainee @param {Set<string>} kinds of evidence @returns {Map<string, {what: string, when: string}>} */
export function useEvidenceNames(trainee, kinds) {
  const cases = /** @type {Api.Page<Api.CaseItem> | undefined} */ (useResource(kinds.has("case") ? at(withQuery("/cases", { trainee, limit: 100 })) : null).data);
  const plans = /** @type {Api.Page<Api.PlanItem> | undefined} */ (useResource(kinds.has("plan") ? at(withQuery("/plans", { trainee, limit: 100 })) : null).data);
  const quizzes = /** @type {Api.Page<Api.QuizItem> | undefined} */ (useResource(kinds.has("quiz") ? at(withQuery("/quizzes", { trainee, mode: "test", limit: 100 })) : null).data);
  const operations = useAtrium().data?.facts.operations;
  const names = new Map();
  for (const one of cases?.items || []) names.set(one.id, { what: title(one, operations), when: dayWords(one.operated_on) });
  for (const one of plans?.items || []) names.set(one.id, { what: one.scenario_title, when: `${one.letter}, ${dayWords(one.submitted_at)}` });
  for (const one of quizzes?.items || []) if (one.result) names.set(one.id, { what: quizName(one), when: `${Math.round(one.result.percent)} %, ${dayWords(one.closed_at)}` });
  return names;
}
