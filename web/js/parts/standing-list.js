// A standing, requirement by requirement: sign, words, value and target, and what would move it. Each opens its evidence.
import { html } from "../lib/html.js";
import { measured } from "../lib/numbers.js";
import { Word } from "../lib/words.js";
import { projected } from "../model/outlook.js";
import { IntervalFigure } from "./interval-figure.js";
import { StateSign } from "./signs.js";

/** The page of the evidence of one requirement. @param {string} trainee @param {string} requirement @param {string} [on] */
export const evidencePath = (trainee, requirement, on) => `/trainees/${trainee}/standing/${encodeURIComponent(requirement)}${on ? `?on=${on}` : ""}`;

/** @param {{lines: Api.RequirementStanding[], trainee: string, on?: string, brief?: boolean, projections?: Api.Projection[]}} props */
export const StandingList = ({ lines, trainee, on, brief = false, projections = [] }) => html`<ul class="standing">
  ${lines.map(line => html`<li key=${line.requirement}>
    <div class="requirement">
      <span class="state-words"><${StateSign} state=${line.state} />${Word(line.state)}</span>
      <span class="says"><a class="row-link" href=${evidencePath(trainee, line.requirement, on)}>${Word(line.requirement)}</a>${!brief && html`<small>${line.says}</small>`}</span>
      <span class="measure"><${IntervalFigure} line=${line} /><span>${line.state === "not-enough-data" && line.n === 0 ? "nothing yet" : measured(line)}</span></span>
    </div>
    ${!brief && line.next && html`<p class="small">${line.next}</p>`}
    ${projections.filter(one => one.requirement === line.requirement).map(projected).filter(Boolean).map(when => html`<p class="small">${when}</p>`)}
  </li>`)}
</ul>`;

/** The key of the signs. */
export const StandingKey = ({ interval = "interval" }) => html`<p class="signs-key">
  ${["met", "on-course", "short", "lapsed", "not-enough-data"].map(state => html`<span><${StateSign} state=${state} />${Word(state)}</span>`)}
  <span>Dot: value; bar: ${interval}; upright: target.</span>
</p>`;
