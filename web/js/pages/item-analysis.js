// How the questions of tests work: those to look at first, each with its figures, the whole test, the scale, versions and sites.
import { withQuery } from "../lib/api.js";
import { html } from "../lib/html.js";
import { navigate } from "../lib/navigate.js";
import { counted, percent, plain } from "../lib/numbers.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { capital } from "../lib/words.js";
import { TopicWords } from "../model/quiz.js";
import { Caution } from "../parts/caution.js";
import { ChartFigure } from "../parts/chart.js";
import { SelectField } from "../parts/field.js";
import { FiguresTable } from "../parts/figures-table.js";
import { Page } from "../parts/page.js";
import { Empty, Show } from "../parts/waiting.js";

/** A figure with its limits. @param {Api.Limits | undefined} of @param {(value: number) => string} words */
const within = (of, words) => (of ? `${words(of.value)} (${words(of.low)} to ${words(of.high)})` : "none");

const two = (/** @type {number} */ value) => plain(value, 2), whole = (/** @type {number} */ share) => `${Math.round(100 * share)}`;

/** @param {{query: URLSearchParams}} props */
export function ItemAnalysisPage({ query }) {
  const topic = query.get("topic") || "", test = query.get("test") || "";
  const path = withQuery("/item-analysis", { topic, test });
  const analysis = useResource(at(path));
  const go = (/** @type {Record<string, string>} */ change) => navigate(withQuery("/item-analysis", { topic, test, ...change }), { replace: true });
  return html`<${Page} title="How questions work" lead="By everybody's first answers in tests. A flag is a reason to read a question again, and says nothing about a person." kind="wide">
    <p class="ways"><a href="/questions">Questions</a></p>
    <${Show} of=${analysis} what="the answers">${(/** @type {Api.ItemAnalysis} */ found) => html`
      <div class="filters">
        <${SelectField} label="Topic" value=${topic} choose="All" options=${found.topics.map(id => ({ id, name: TopicWords(id) }))} onValue=${(/** @type {string} */ id) => go({ topic: id })} />
        <${SelectField} label="Test" value=${test} choose="All" options=${found.tests.map(one => ({ id: one.id, name: one.id === one.title ? TopicWords(one.title) : one.title }))} onValue=${(/** @type {string} */ id) => go({ test: id })} />
      </div>
      ${found.items.length === 0 ? html`<${Empty} says="No test has been closed yet.">Practice and daily sets do not count here: feedback comes with each answer.<//>` : html`
        <p>${counted(found.answers, "first answer")} of ${counted(found.people, "trainee")} to ${counted(found.items.length, "question")}.</p>
        <${Overview} found=${found} />
        ${found.charts.map(chart => html`<${ChartFigure} key=${chart.id} chart=${chart} caution=${found.caution} />`)}
        <${Scores} scale=${found.scale} />
        <h2>Each question</h2>
        ${found.items.map(one => html`<${Item} key=${`${one.item} ${one.version}`} one=${one} />`)}
        <${Versions} found=${found} /><${Sites} sites=${found.sites} of=${found.items.length} />`}
      <details class="as-table"><summary>What the flags mean, and from when on anything is told</summary>${[...found.thresholds, found.whole.method, found.scale.method].map(says => html`<p class="small">${says}</p>`)}</details>
      <${Caution} text=${found.caution} />`}<//>
  <//>`;
}

/** @param {{found: Api.ItemAnalysis}} props */
const Overview = ({ found: { whole: test, scale, items, level } }) => html`<dl class="facts">
  <dt>Questions with a flag</dt><dd>${items.filter(one => one.flags.length > 0).length} of ${items.length}</dd>
  <dt>Consistency (alpha, KR-20)</dt><dd>${test.withheld || html`${within(test.alpha, two)} at ${percent(level)}, ${counted(test.n, "trainee")}, ${counted(test.items, "question")}; standard error of measurement ${plain(test.sem, 2)} questions`}</dd>
  <dt>Common scale (Rasch)</dt><dd>${scale.withheld || `${counted(scale.items, "question")}, ${counted(scale.n, "trainee")} who tell${scale.left_out ? `; ${counted(scale.left_out, "question")} left out: too few answers, or all alike` : ""}`}</dd>
</dl>`;

/** What a number right is worth on the scale. @param {{scale: Api.ItemScale}} props */
function Scores({ scale }) {
  if (scale.withheld) return null;
  if (scale.scores.length === 0) return html`<p class="small">Not all were asked the same questions: a number right is not worth the same for everybody. Choose one test with a fixed form to see what each is worth.</p>`;
  return html`<details class="as-table"><summary>What each number right is worth</summary><${FiguresTable} label="Number right and place on the scale" heads=${["Right", "Trainees", "Log odds (Warm)", "Standard error"]}
    rows=${scale.scores.map(one => ({ key: String(one.right), cells: [`${one.right} of ${scale.items}`, String(one.trainees), two(one.ability), two(one.se)] }))} /></details>`;
}

/** @param {{one: Api.AnalysedItem}} props */
function Item({ one }) {
  const name = html`<a href=${`/questions/${encodeURIComponent(one.item)}?view=read`}>${one.stem || one.item}</a>`;
  const about = `${TopicWords(one.topic)}; version ${one.version}; ${counted(one.n, "trainee")}`;
  if (one.withheld) return html`<section class="item-figures"><h3>${name}</h3><p class="small">${about}. Withheld: ${one.withheld}</p></section>`;
  return html`<section class="item-figures"><h3>${name}</h3><p class="small">${about}</p>
    ${one.flags.map(flag => html`<p class="flag"><span class="sign-flag" aria-hidden="true">⚑</span> <strong>${capital(flag.flag.replaceAll("-", " "))}.</strong> ${flag.says}</p>`)}
    <dl class="facts">
      <dt>Right</dt><dd>${one.right} of ${one.n}, ${within(one.difficulty, whole)} %</dd>
      <dt>Correlation with the others</dt><dd>${within(one.corrected, two)}</dd>
      <dt>Best and weakest ${one.group}</dt><dd>${percent(one.upper)} and ${percent(one.lower)} right, difference ${two(one.upper - one.lower)}</dd>
      <dt>Median time</dt><dd>${plain(one.seconds, 0)} s</dd>
      ${one.rasch && html`<dt>On the scale</dt><dd>${two(one.rasch.difficulty)} (standard error ${two(one.rasch.se)}); infit ${two(one.rasch.infit)}, outfit ${two(one.rasch.outfit)}</dd>`}
    </dl>
    ${one.options && html`<${FiguresTable} label=${`Options of ${one.stem}`} heads=${["Option", "Chosen", `Of the best ${one.group}`, `Of the weakest ${one.group}`]}
      rows=${one.options.map((option, i) => ({ key: String(i), cells: [html`${option.text}${option.key && html` <strong>Right</strong>`}`, `${option.n} of ${one.n}`, percent(option.upper), percent(option.lower)] }))} />`}
  </section>`;
}

/** @param {{found: Api.ItemAnalysis}} props */
const Versions = ({ found: { versions } }) => (versions.length === 0 ? null : html`<h2>Versions compared</h2>
  <${FiguresTable} label="Versions compared" heads=${["Question", "Versions", "Trainees", "Right, the later less the earlier"]} rows=${versions.map(one => ({ key: `${one.item} ${one.second}`, cells: [
    html`<a href=${`/questions/${encodeURIComponent(one.item)}?view=read`}>${one.item}</a>`, `${one.first} and ${one.second}`, `${one.n[0]} and ${one.n[1]}`,
    one.withheld || `${within(one.difference, value => plain(100 * value, 0))} points of a hundred`] }))} />
  <p class="small">Interval: ${versions[0].method}. The groups were not drawn by lot: other things can have changed with the version.</p>`);

/** @param {{sites: Api.SitesOfItems, of: number}} props */
const Sites = ({ sites, of }) => html`<h2>By site</h2>
  ${sites.withheld ? html`<p>${sites.withheld}</p>` : html`<p>${sites.site} (${counted(sites.people[1], "trainee")}) against all others (${sites.people[0]}), among trainees of equal totals.</p>
    <${FiguresTable} label="By site" heads=${["Question", "Trainees", "Odds ratio", "Delta", "p"]} rows=${sites.items.map(one => ({ key: `${one.item} ${one.version}`, cells: [
      html`<a href=${`/questions/${encodeURIComponent(one.item)}?view=read`}>${one.item}</a>${one.large && html` <strong>Differs</strong>`}`, `${one.n[0]} and ${one.n[1]}`, within(one.odds, two), two(one.delta), plain(one.p, 3)] }))} />
    ${sites.items.length < of && html`<p class="small">${counted(of - sites.items.length, "question")} not told: too few on either side among totals that tell.</p>`}`}
  <p class="small">${sites.method}</p>`;
