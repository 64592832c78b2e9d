// What would move a standing most, then what waits: the first thing on the page of a standing.
import { html } from "../lib/html.js";
import { dayWords } from "../lib/days.js";
import { actPlace, waitingFor } from "../model/outlook.js";
import { Row } from "./row.js";
import { evidencePath } from "./standing-list.js";

/** @param {{of: Api.TraineeStanding, own: boolean}} props */
export function NextAct({ of: { standing, outlook, waiting, trainee, hindsight }, own }) {
  const act = outlook?.act; // a standing that an older build kept on the device has no outlook
  const past = Boolean(hindsight), lines = own && !past ? waitingFor(waiting) : [];
  if (!act && lines.length === 0) return null;
  return html`<section aria-labelledby="next-title" class="next-act">
    <h2 id="next-title">${past ? `What would have moved most on ${dayWords(standing.on)}` : own ? "What to do next" : "What would move most"}</h2>
    <ul class="rows todo">
      ${act && html`<li><${Row} to=${actPlace(act, own && !past, evidencePath(trainee.id, act.requirement, past ? standing.on : ""))} name=${act.says} detail=${act.why} /></li>`}
      ${lines.map(line => html`<li key=${line.to}><${Row} ...${line} /></li>`)}
    </ul>
    ${act && html`<p class="small">${outlook.note}</p>`}
  </section>`;
}
