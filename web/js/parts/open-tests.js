// The tests a trainee has open, first of all that could be done.
import { withQuery } from "../lib/api.js";
import { timeWords } from "../lib/days.js";
import { html } from "../lib/html.js";
import { useResource } from "../lib/resource.js";
import { at, has, session } from "../lib/session.js";
import { leftWords, ServerClock } from "../model/countdown.js";
import { topicWords } from "../model/quiz.js";

/** @typedef {{id: string, path: string, name: string, ends_at?: string, server_time: string}} OpenTest on a scenario or of questions */

/** The open tests of the person signed in; none are asked for where the person sits none. @returns {OpenTest[]} */
export function useOpenTests() {
  const trainee = session.value?.person.id;
  const sittings = useResource(has("trainee") ? at(withQuery("/sittings", { status: "open", trainee })) : null);
  const quizzes = useResource(has("trainee") ? at(withQuery("/quizzes", { status: "open", mode: "test", trainee })) : null);
  return [
    .../** @type {Api.Page<Api.SittingItem> | undefined} */ (sittings.data)?.items.map(one => ({ ...one, path: `/sittings/${one.id}`, name: one.scenario_title })) || [],
    .../** @type {Api.Page<Api.QuizItem> | undefined} */ (quizzes.data)?.items.map(one => ({ ...one, path: `/quizzes/${one.id}`, name: `questions, ${topicWords(one.title).toLowerCase()}`, ends_at: one.due_at })) || [],
  ];
}

/** Until when a test can be gone on with, in words. @param {OpenTest} test */
export function untilWords({ ends_at, server_time }) {
  if (!ends_at) return "The test has no time limit.";
  return `${leftWords(new ServerClock(server_time, 0).left(ends_at, 0))} left, until ${timeWords(ends_at)}.`;
}

export function OpenTests() {
  const tests = useOpenTests();
  if (tests.length === 0) return null;
  return html`<section class="notice" aria-label="Open test">${tests.map(test => html`
    <p><span class="strong">You are sitting a test: ${test.name}.</span> ${untilWords(test)} What lesions do and what is right of a question are hidden everywhere until it is over.</p>
    <p><a class="button" href=${test.path}>Go on with the test</a></p>`)}</section>`;
}
