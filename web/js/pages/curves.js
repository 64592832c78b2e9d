// A trainee's learning curves: each the standard asks for, with its limits and what they are worth, and one by a rule of one's own choice.
import { html } from "../lib/html.js";
import { withQuery } from "../lib/api.js";
import { dayWords, today } from "../lib/days.js";
import { navigate } from "../lib/navigate.js";
import { useResource } from "../lib/resource.js";
import { at, session } from "../lib/session.js";
import { Word } from "../lib/words.js";
import { Caution } from "../parts/caution.js";
import { ChartFigure } from "../parts/chart.js";
import { SelectField, TextField } from "../parts/field.js";
import { Page } from "../parts/page.js";
import { StateSign } from "../parts/signs.js";
import { useAtrium } from "../parts/use-atrium.js";
import { Empty, Show } from "../parts/waiting.js";

/** @param {{params: Record<string, string>, query: URLSearchParams}} props without a trainee in the address it is one's own */
export function CurvesPage({ params, query }) {
  const trainee = encodeURIComponent(params.trainee || session.value?.person.id || ""), on = query.get("on") || "", rule = query.get("rule") || "";
  const [scale = "", level = ""] = rule.split(".");
  const curves = useResource(at(withQuery(`/trainees/${trainee}/curves`, { on, scale, level })));
  const read = /** @type {Api.TraineeCurves | undefined} */ (curves.data);
  const here = params.trainee ? `/trainees/${trainee}/curves` : "/curves";
  const go = (/** @type {Record<string, string>} */ change) => navigate(withQuery(here, { on, rule, ...change }), { replace: true });
  return html`<${Page} title="Learning curves" lead=${read && `${read.trainee.name}, as of ${dayWords(read.on)}, by ${read.standard}, version ${read.standard_version}${read.example ? " (an example for the programme to replace)" : ""}`}>
    <${TextField} label="As of" type="date" max=${today()} value=${read?.on || on} onValue=${(/** @type {string} */ day) => go({ on: day })} />
    <${Show} of=${curves} what="the learning curves">${(/** @type {Api.TraineeCurves} */ shown) => html`
      <${Caution} text=${shown.caution} />
      ${shown.curves.length === 0 && html`<${Empty} says="The standard asks for no learning curve. A rule of your own choice can be looked at below." />`}
      ${shown.curves.map(one => html`<${OneCurve} key=${one.standing?.requirement} curve=${one} trainee=${trainee} on=${on} caution=${shown.caution} />`)}
      <h2>By another rule</h2>
      <${RuleField} value=${rule} onValue=${(/** @type {string} */ chosen) => go({ rule: chosen })} />
      ${shown.chosen && html`<${OneCurve} curve=${shown.chosen} trainee=${trainee} on=${on} caution=${shown.caution} />`}`}<//>
    <p><a href=${withQuery(params.trainee ? `/trainees/${trainee}/standing` : "/standing", { on })}>The whole standing</a></p>
  <//>`;
}

/** @param {{curve: Api.LearningCurve, trainee: string, on: string, caution: string}} props */
const OneCurve = ({ curve: { learning, standing, charts }, trainee, on, caution }) => html`<section class="learning-curve">
  ${standing && html`<h2>${Word(standing.requirement)}</h2>
    <p class="overall"><span class="state-words"><${StateSign} state=${standing.state} />${Word(standing.state)}</span></p>
    <p>${standing.explanation} <a href=${withQuery(`/trainees/${trainee}/standing/${encodeURIComponent(standing.requirement)}`, { on })}>Evidence</a></p>
    ${standing.next && html`<p>${standing.next}</p>`}`}
  <p><b>What counts as a success:</b> ${learning.says}</p>
  ${learning.refused && html`<p>No curve is fitted. ${learning.refused}</p>`}
  ${charts.map(chart => html`<${ChartFigure} key=${chart.id} chart=${chart} caution=${caution} />`)}
</section>`;

/** A rule of success among those the programme rates by. @param {{value: string, onValue: (value: string) => void}} props */
function RuleField({ value, onValue }) {
  const atrium = useAtrium().data;
  const levels = (/** @type {string} */ scale, /** @type {string} */ name, /** @type {{level: number, name: string}[]} */ of) => of.filter(one => one.level >= 2)
    .map(one => ({ id: `${scale}.${one.level}`, name: `${name}: ${one.name.toLowerCase()} or better` }));
  return html`<${SelectField} label="A case counts as a success when" value=${value} onValue=${onValue} options=${[
    { id: "", name: "No other rule" },
    ...levels("help_given", "Help given", atrium?.facts.help_levels ?? []), ...levels("supervision_next", "Supervision next time", atrium?.facts.supervision_levels ?? []),
    { id: "complete.", name: "Every line complete and block tested" }]} />`;
}
