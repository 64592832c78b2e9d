// A trainee's questions: what to do today, practice by topic, tests, and what one has shown to know.
import { useRef, useState } from "preact/hooks";
import { post, withQuery } from "../lib/api.js";
import { timeWords } from "../lib/days.js";
import { html } from "../lib/html.js";
import { navigate } from "../lib/navigate.js";
import { counted, percent } from "../lib/numbers.js";
import { inWords } from "../lib/problem.js";
import { useResource } from "../lib/resource.js";
import { at, session } from "../lib/session.js";
import { uuid } from "../lib/uuid.js";
import { cutWords } from "../model/own-test.js";
import { TopicWords, quizName } from "../model/quiz.js";
import { Caution } from "../parts/caution.js";
import { FiguresTable } from "../parts/figures-table.js";
import { Page } from "../parts/page.js";
import { Row } from "../parts/row.js";
import { Empty, Show } from "../parts/waiting.js";

export function KnowledgePage() {
  const me = session.value?.person.id || "";
  const offers = useResource(at("/quiz-offers")), own = useResource(at(withQuery("/quizzes", { trainee: me, limit: 20 })));
  const known = useResource(at(`/trainees/${encodeURIComponent(me)}/knowledge`));
  const [chosen, setChosen] = useState(/** @type {Api.QuizOffer | null} */ (null));
  const [problem, setProblem] = useState(/** @type {unknown} */ (null));
  const key = useRef(uuid());
  const start = async (/** @type {Api.QuizOffer} */ offer) => {
    setProblem(null);
    try {
      const made = /** @type {Api.Quiz} */ (await post(at("/quizzes"), { mode: offer.mode, topic: offer.topic, test: offer.test }, { key: key.current }));
      navigate(`/quizzes/${made.id}`);
    } catch (error) {
      key.current = uuid();
      setProblem(error);
    }
  };
  const acts = { chosen, setChosen, start };
  return html`<${Page} title="Knowledge" lead="Questions on what the operation rests on.">
    <div role="alert">${problem && html`<p class="fault">${inWords(problem).title}. ${inWords(problem).next}</p>`}</div>
    <div class="two">
      <div>
        <${Show} of=${offers} what="what is offered">${(/** @type {Api.QuizOffers} */ offered) => html`
          ${offered.tests[0]?.open ? html`<section class="notice" aria-label="Open test"><p class="strong">You are sitting a test.</p><p>Nothing else is asked or told until it is over.</p>
            <p><a class="button" href=${`/quizzes/${offered.tests[0].open}`}>Go on with the test</a></p></section>`
          : html`<section aria-labelledby="today-title"><h2 id="today-title">Today</h2><${Today} daily=${offered.daily} start=${start} /></section>
          <section aria-labelledby="tests-title"><h2 id="tests-title">Tests</h2>
            <p>Nothing is told before the end. A test on one topic can count for your standing, where its standard asks for it.</p>
            <ul class="rows">${offered.tests.filter(one => !one.topic).map(one => html`<li key=${one.test || one.title}><${Offered} name=${one.title} tests=${[one]} ...${acts} /></li>`)}</ul>
          </section>
          <section aria-labelledby="topics-title"><h2 id="topics-title">By topic</h2>
            <p>In practice feedback follows each answer, and no time is set.</p>
            ${offered.practice[0]?.open && html`<p><a class="button" href=${`/quizzes/${offered.practice[0].open}`}>Go on with the practice</a></p>`}
            <ul class="rows">${offered.practice.map(one => html`<li key=${one.topic}><${Offered} name=${one.title} practice=${one} tests=${offered.tests.filter(test => test.topic === one.topic)} ...${acts} /></li>`)}</ul>
          </section>`}`}<//>
      </div>
      <div>
        <section aria-labelledby="known-title"><h2 id="known-title">What you have shown to know</h2>
          <${Show} of=${known} what="your knowledge">${(/** @type {Api.Knowledge} */ shown) => html`${shown.topics.length === 0
            ? html`<${Empty} says="No question answered yet: what you answer is counted here once its set is closed." />`
            : html`<${FiguresTable} label="Knowledge by topic" heads=${["Topic", "Right, of those asked", `Share (${percent(shown.level)} interval)`]}
                rows=${shown.topics.map(one => ({ key: one.topic, cells: [TopicWords(one.topic), `${one.right} of ${one.n}`, `${percent(one.share)} (${Math.round(100 * one.low)} to ${Math.round(100 * one.high)})`] }))} />
              <p class="small">${shown.method}. ${shown.assumptions}</p>`}
            <${Caution} text=${shown.caution} />`}<//>
        </section>
        <section aria-labelledby="own-title"><h2 id="own-title">Your sets</h2>
          <${Show} of=${own} what="your sets">${(/** @type {Api.Page<Api.QuizItem>} */ page) => (page.items.length === 0 ? html`<${Empty} says="None yet." />`
            : html`<ul class="rows">${page.items.map(one => html`<li key=${one.id}><${Row} to=${`/quizzes/${one.id}`} name=${quizName(one)}
              detail=${one.result ? timeWords(one.closed_at) : `Open until ${timeWords(one.due_at)}`} after=${one.result ? `${one.result.right} of ${one.items}` : `${one.replied} of ${one.items} answered`} /></li>`)}</ul>`)}<//>
        </section>
      </div>
    </div>
  <//>`;
}

/**
 * What is offered under one name: practice, unless one is open, and tests.
 * @param {{name: string, practice?: Api.QuizOffer, tests: Api.QuizOffer[], chosen: Api.QuizOffer | null, setChosen: (offer: Api.QuizOffer | null) => void, start: (offer: Api.QuizOffer) => void}} props
 */
function Offered({ name, practice, tests, chosen, setChosen, start }) {
  const about = tests[0]?.test ? name : TopicWords(name), before = tests.find(one => one === chosen);
  return html`<div class="row offered"><span class="row-main">${about}${tests[0] && !practice && html`<small>${counted(tests[0].items, "question")}, ${counted(tests[0].minutes || 0, "minute")}</small>`}</span>
      ${practice && !practice.open && html`<button type="button" class="quiet" aria-label=${`Practise ${about}`} onClick=${() => start(practice)}>Practise</button>`}
      ${tests.map(one => html`<button type="button" class="quiet" aria-expanded=${one === chosen} aria-label=${`Test: ${about}, ${counted(one.items, "question")}`} onClick=${() => setChosen(one === chosen ? null : one)}>Test</button>`)}
    </div>
    ${before && html`<${Before} offer=${before} start=${() => start(before)} leave=${() => setChosen(null)} />`}`;
}

/** @param {{daily: Api.QuizOffer, start: (offer: Api.QuizOffer) => void}} props */
function Today({ daily, start }) {
  if (daily.open) return html`<p><a class="button" href=${`/quizzes/${daily.open}`}>Go on with the daily set</a></p>`;
  if (daily.done) return html`<p>Today's set is done. <a href=${`/quizzes/${daily.done}`}>See it</a></p>`;
  if (daily.items === 0) return html`<p>Nothing is due today.</p>`;
  return html`<p>${counted(daily.items, "question")}: what you answered before and is due again, and some new ones.</p>
    <p><button type="button" class="main-act" onClick=${() => start(daily)}>Start the daily set</button></p>`;
}

/** What a test means, before it starts. @param {{offer: Api.QuizOffer, start: () => void, leave: () => void}} props */
const Before = ({ offer, start, leave }) => html`<section class="notice" aria-label="Before the test">
  <p class="strong">${offer.test ? offer.title : TopicWords(offer.title)}: ${counted(offer.items, "question")}, ${counted(offer.minutes || 0, "minute")}.</p>
  <p>The time runs from the moment you start, also while this page is closed. What is saved when it is up counts.
    ${offer.topic ? ` The cut of ${offer.cut} % is an example: no panel has set it.` : ""}${offer.cut_from ? ` ${cutWords(offer.cut_from)}` : ""}
    ${offer.negative ? " A wrong answer to a question with one right answer costs points; one left out does not." : ""}</p>
  <div class="bar"><button type="button" onClick=${start}>Start the test</button><button type="button" class="quiet" onClick=${leave}>Not now</button></div>
</section>`;
