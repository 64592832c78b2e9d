// Growth on one thing: the sentence, the small chart, the shares with the plans behind each, and all of it as a table.
import { html } from "../lib/html.js";
import { dayWords } from "../lib/days.js";
import { plain } from "../lib/numbers.js";
import { pointsOf, shareRows, shareWords } from "../model/growth.js";
import { ShareFigure } from "./growth-figures.js";

/**
 * @param {{track: Api.GrowthTrack, title: string, chart: unknown, hit: string, miss: string, more?: string}} props
 * hit and miss: what a plan did, in words
 */
export const GrowthTrack = ({ track, title, chart, hit, miss, more }) => html`<section class="track" aria-label=${title}>
  <h3>${title}</h3>
  <p>${track.says}</p>
  ${more && html`<p class="small">${more}</p>`}
  <div class="track-figures">
    ${chart}
    <div class="share-rows">${shareRows(track).map(({ label, share }) => html`<details class="share-row">
      <summary><span class="share-label">${label}</span><${ShareFigure} share=${share} /><span class="share-words">${shareWords(share)}</span></summary>
      <ul class="behind">${pointsOf(track, share).map(point => html`<li><${PlanLink} point=${point} /> <span class="small">${point.hit ? hit : miss}</span></li>`)}</ul>
    </details>`)}</div>
  </div>
  <details class="as-table">
    <summary>As a table<span class="unseen">: ${title}</span></summary>
    <div class="scroll" tabindex="0" role="region" aria-label=${`Plans behind: ${title}`}><table>
      <thead><tr><th scope="col">Scenario</th><th scope="col">Try</th><th scope="col">Mode</th><th scope="col">Handed in</th><th scope="col">Score</th><th scope="col">Letter</th><th scope="col">Shows</th></tr></thead>
      <tbody>${track.points.map(point => html`<tr>
        <th scope="row"><a href=${`/plans/${point.plan}`}>${point.scenario_title}</a></th><td>${point.attempt}</td><td>${point.test ? "test" : "practice"}</td>
        <td>${dayWords(point.on)}</td><td>${plain(point.score, 2)}</td><td>${point.letter}${point.unsafe ? ", unsafe" : ""}</td><td>${point.hit ? hit : miss}</td></tr>`)}</tbody>
    </table></div>
  </details>
</section>`;

/** @param {{point: Api.GrowthPoint}} props */
const PlanLink = ({ point }) => html`<a href=${`/plans/${point.plan}`}>${point.scenario_title}, ${point.test ? "test" : `try ${point.attempt}`}, ${point.letter}</a>`;
