// Plans as a list: the scenario, which attempt, the letter, when.
import { html } from "../lib/html.js";
import { dayWords } from "../lib/days.js";
import { plain } from "../lib/numbers.js";
import { Row } from "./row.js";

/** @param {{plans: Api.PlanItem[], titled?: boolean, current?: string}} props titled: with the scenario's title, where the list mixes them */
export const Attempts = ({ plans, titled = false, current }) => html`<ul class="rows">
  ${plans.map(plan => html`<li
    key=${plan.id}><${Row} to=${`/plans/${plan.id}`} current=${plan.id === current} before=${html`<span class="grade-letter">${plan.letter}</span>`}
    name=${titled ? plan.scenario_title : `Attempt ${plan.attempt}, ${plan.mode}`} detail=${[titled && `attempt ${plan.attempt}, ${plan.mode}`, dayWords(plan.submitted_at), `${plain(plan.score, 2)} of 100`, plan.unsafe && "unsafe"].filter(Boolean).join(", ")} /></li>`)}
</ul>`;
