// The cases behind one figure of the outcomes.
import { withQuery } from "../lib/api.js";
import { dayWords } from "../lib/days.js";
import { html } from "../lib/html.js";
import { counted } from "../lib/numbers.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { capital, word } from "../lib/words.js";
import { behind, pacemakerWords, rhythmWords } from "../model/outcomes.js";
import { title } from "../parts/case-rows.js";
import { Caution } from "../parts/caution.js";
import { Page } from "../parts/page.js";
import { Row } from "../parts/row.js";
import { useAtrium } from "../parts/use-atrium.js";
import { Empty, Show } from "../parts/waiting.js";
import { chosenIn } from "./outcomes.js";

/** @param {{query: URLSearchParams}} props */
export function OutcomeCasesPage({ query }) {
  const chosen = chosenIn(query), of = query.get("of") || "";
  const outcomes = useResource(at(withQuery("/outcomes", chosen))), operations = useAtrium().data?.facts.operations;
  const read = /** @type {Api.Outcomes | undefined} */ (outcomes.data);
  const found = read && behind(read, of);
  return html`<${Page} title=${found?.title ?? "Cases"} lead=${read && `As on record on ${dayWords(read.on)}.`} kind="narrow-page">
    <${Show} of=${outcomes} what="the outcomes">${(/** @type {Api.Outcomes} */ shown) => {
      const ids = new Set(behind(shown, of).ids), cases = shown.cases.filter(one => ids.has(one.case));
      return html`${cases.length === 0 ? html`<${Empty} says="No such case." />` : html`<p>${counted(cases.length, "operation")}, the earliest first.</p>
        <ul class="rows">${cases.map(one => html`<li key=${one.case}><${Row} to=${`/cases/${one.case}`} name=${title({ operation: one.operation, scope: one.scope }, operations)} detail=${detail(one)} /></li>`)}</ul>`}
        <p><a href=${withQuery("/outcomes", chosen)}>Outcomes</a></p>
        <${Caution} text=${shown.caution} />`;
    }}<//>
  <//>`;
}

/** @param {Api.OutcomeCase} one */
const detail = one => [`Operated on ${dayWords(one.operated_on)} at ${one.site} for ${word(one.pattern)} AF, logged by ${one.trainee_name}, supervised by ${one.supervisor_name}`,
  capital(rhythmWords(one.freedom)), capital(pacemakerWords(one.pacemaker))].filter(Boolean).map(sentence => `${sentence}.`).join(" ");
