// A trainee's growth across attempts, by AF pattern and by omission: a sentence first, then the small chart, and the plans behind every number.
import { html } from "../lib/html.js";
import { withQuery } from "../lib/api.js";
import { percent } from "../lib/numbers.js";
import { useResource } from "../lib/resource.js";
import { at, session } from "../lib/session.js";
import { Word, listed, word } from "../lib/words.js";
import { handedIn, inShort, madeFirst, medians } from "../model/growth.js";
import { Caution } from "../parts/caution.js";
import { MadeStrip, ScoreChart } from "../parts/growth-figures.js";
import { GrowthTrack } from "../parts/growth-track.js";
import { Page } from "../parts/page.js";
import { Empty, Show } from "../parts/waiting.js";

/** @param {{params: Record<string, string>}} props without a trainee in the address it is one's own */
export function GrowthPage({ params }) {
  const trainee = params.trainee || session.value?.person.id || "";
  const own = trainee === session.value?.person.id;
  const growth = useResource(at(`/trainees/${encodeURIComponent(trainee)}/growth`));
  const read = /** @type {Api.Growth | undefined} */ (growth.data);
  const title = own ? "My growth" : read ? `Growth of ${read.trainee.name}` : "Growth";
  return html`<${Page} title=${title} lead=${read && handedIn(read)}>
    <${Show} of=${growth} what="the growth">${(/** @type {Api.Growth} */ shown) => (shown.attempts === 0
      ? html`<${Empty} says=${inShort(shown)}>${own ? html`<a href="/scenarios">Choose a scenario</a>` : html`<a href=${`/trainees/${encodeURIComponent(trainee)}/standing`}>Standing</a>`}<//>
        <${Caution} text=${shown.caution} />`
      : html`<${Shown} growth=${shown} own=${own} />`)}<//>
  <//>`;
}

/** @param {{growth: Api.Growth, own: boolean}} props */
function Shown({ growth, own }) {
  const { trainee, patterns, omissions, letter, least_n: least, level } = growth;
  const planned = patterns.filter(one => one.n > 0), unplanned = patterns.filter(one => one.n === 0);
  const asked = madeFirst(omissions), unasked = omissions.filter(one => one.n === 0);
  return html`
    <p class="overall">${inShort(growth)}</p>
    <p>The first try at each scenario is the fair measure: a later one rehearses what was said about the first. Tests stand apart.</p>
    <p class="small">Bars: ${percent(level)} interval (${growth.method}), assuming ${growth.assumptions}. Below ${least} plans nothing is said of a share.</p>
    <${Caution} text=${growth.caution} />
    <p><a href=${withQuery("/plans", { trainee: trainee.id })}>All graded plans</a> · <a href=${own ? "/standing" : `/trainees/${encodeURIComponent(trainee.id)}/standing`}>Standing</a></p>
    <h2>By AF pattern</h2>
    <p class="signs-key"><${ChartKey} /></p>
    ${planned.map(one => html`<${GrowthTrack} key=${one.pattern} track=${one} title=${Word(one.pattern)} hit=${`${letter} or better`} miss=${`below ${letter}`} more=${one.n > 1 && medians(one.by_attempt)}
      chart=${one.n > 1 && html`<${ScoreChart} points=${one.points} />`} />`)}
    ${unplanned.length > 0 && html`<p class="state">No plan yet on ${listed(unplanned.map(one => word(one.pattern)))} AF. ${own && html`<a href="/scenarios">Choose a scenario</a>`}</p>`}
    <h2>By omission</h2>
    <p class="signs-key"><${StripKey} /></p>
    ${asked.map(one => html`<${GrowthTrack} key=${one.id} track=${one} title=${one.name} hit="made" miss="not made" chart=${html`<${MadeStrip} points=${one.points} />`} />`)}
    ${unasked.length > 0 && html`<p class="state">No plan yet in which these could be made: ${listed(unasked.map(one => one.name.charAt(0).toLowerCase() + one.name.slice(1)))}.</p>`}`;
}

const ChartKey = () => html`
  <span><svg class="growth-chart" viewBox="0 0 14 14" width="14" height="14" aria-hidden="true"><circle class="dot first" cx="7" cy="7" r="5" /></svg>first try</span>
  <span><svg class="growth-chart" viewBox="0 0 14 14" width="14" height="14" aria-hidden="true"><circle class="dot again" cx="7" cy="7" r="5" /></svg>later try</span>
  <span><svg class="growth-chart" viewBox="0 0 14 14" width="14" height="14" aria-hidden="true"><rect class="dot first" x="2.5" y="2.5" width="9" height="9" /></svg>test</span>
  <span>Scores of 100, in order of time.</span>`;

const StripKey = () => html`
  <span><svg class="growth-strip" viewBox="0 0 18 18" width="18" height="18" aria-hidden="true"><path class="made" d="M4 4l10 10M14 4l-10 10" /></svg>made</span>
  <span><svg class="growth-strip" viewBox="0 0 18 18" width="18" height="18" aria-hidden="true"><circle class="avoided" cx="9" cy="9" r="5" /></svg>not made</span>
  <span><svg class="growth-strip" viewBox="0 0 18 18" width="18" height="18" aria-hidden="true"><g class="again"><circle class="avoided" cx="9" cy="9" r="5" /></g></svg>thin: a later try</span>
  <span><svg class="growth-strip" viewBox="0 0 18 18" width="18" height="18" aria-hidden="true"><rect class="test" x="0.5" y="0.5" width="17" height="17" /><circle class="avoided" cx="9" cy="9" r="5" /></svg>framed: a test</span>
  <span>The latest 16, in order of time.</span>`;
