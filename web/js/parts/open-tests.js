// The tests a trainee has open, first of all that could be done.
import { withQuery } from "../lib/api.js";
import { timeWords } from "../lib/days.js";
import { html } from "../lib/html.js";
import { useResource } from "../lib/resource.js";
import { at, has, session } from "../lib/session.js";
import { leftWords, ServerClock } from "../model/countdown.js";

/** The open tests of the person signed in; none are asked for where the person sits none. @returns {Api.SittingItem[]} */
export function useOpenTests() {
  const read = useResource(has("trainee") ? at(withQuery("/sittings", { status: "open", trainee: session.value?.person.id })) : null);
  return /** @type {Api.Page<Api.SittingItem> | undefined} */ (read.data)?.items || [];
}

/** Until when a test can be gone on with, in words. @param {Api.SittingItem} sitting */
export function untilWords({ ends_at, server_time }) {
  if (!ends_at) return "The test has no time limit.";
  return `${leftWords(new ServerClock(server_time, 0).left(ends_at, 0))} left, until ${timeWords(ends_at)}.`;
}

export function OpenTests() {
  const tests = useOpenTests();
  if (tests.length === 0) return null;
  return html`<section class="notice" aria-label="Open test">${tests.map(sitting => html`
    <p><span class="strong">You are sitting a test: ${sitting.scenario_title}.</span> ${untilWords(sitting)} What lesions do is hidden everywhere until it is over.</p>
    <p><a class="button" href=${`/sittings/${sitting.id}`}>Go on with the test</a></p>`)}</section>`;
}
