// What a panel came to: the mark, each closed round with its spread, and the limits of Hofstee's method.
import { html } from "../lib/html.js";
import { counted, plain } from "../lib/numbers.js";
import { ChartFigure } from "./chart.js";
import { FiguresTable } from "./figures-table.js";

/** @param {{now: Api.PanelDetail}} props */
export function PanelResult({ now }) {
  const result = /** @type {Api.PanelOutcome} */ (now.result);
  if (!result.found) return html`<p class="notice">No mark: the judges' limits and the scores of ${counted(result.scores || 0, "person", "people")} do not meet.</p>`;
  const error = now.method === "hofstee" ? `${result.below || 0} of ${counted(result.scores || 0, "person", "people")} ${result.below === 1 ? "is" : "are"} below it, where the judges' line meets the scores at ${plain(result.fail || 0, 0)} % failing; the method has no standard error`
    : result.se === undefined ? "one judge: no standard error can be said" : `standard error ${plain(result.se, 1)} points, by the judges only`;
  return html`<p class="overall">${plain(result.percent, 1)} %</p><p>${counted(result.judges, "judge")}; ${error}. ${now.adopted ? "It was adopted." : "It is not adopted."}</p>`;
}

/** @param {{now: Api.PanelDetail}} props */
export const PanelRounds = ({ now }) => html`${[...now.rounds].reverse().map(round => html`<section key=${round.round} aria-labelledby=${`round-${round.round}`}>
  <h2 id=${`round-${round.round}`}>Round ${round.round}</h2>
  <p>Mark ${plain(round.percent, 1)} %${round.se === undefined ? "" : `, standard error ${plain(round.se, 1)} points; the judges' marks have a standard deviation of ${plain(round.deviation || 0, 1)}`}.</p>
  <${ChartFigure} chart=${round.chart} files=${false} />
  ${round.judges.length > 0 && html`<${FiguresTable} label=${`Marks of single judges, round ${round.round}`} heads=${["Judge", "Mark"]} rows=${round.judges.map(one => ({ key: one.name, cells: [one.name, `${plain(one.percent, 1)} %`] }))} />`}
  <${FiguresTable} label=${`Questions, round ${round.round}`} heads=${["Question", "n", "Mean", "SD", "Range", "Discuss"]} rows=${round.items.map((one, i) => ({ key: one.item, cells: [
    html`<span>${i + 1}. ${now.questions[i]?.item.stem}</span>`, one.n, plain(one.mean, 0), one.deviation === undefined ? "unknown" : plain(one.deviation, 0), `${plain(one.least, 0)} to ${plain(one.most, 0)}`, one.discuss ? html`<strong>discuss</strong>` : "no"] }))} />
</section>`)}`;

/** @param {{now: Api.PanelDetail}} props */
export const PanelLimits = ({ now }) => html`<section aria-labelledby="limits-of-all"><h2 id="limits-of-all">What the judges found bearable</h2>
  <${FiguresTable} label="Limits of the judges" heads=${["Judge", "Mark", "Failing"]} rows=${now.limits.map(one => ({ key: one.name, cells: [one.name, `${plain(one.limits.least_mark)} to ${plain(one.limits.highest_mark)} %`, `${plain(one.limits.least_fail)} to ${plain(one.limits.highest_fail)} %`] }))} /></section>`;
