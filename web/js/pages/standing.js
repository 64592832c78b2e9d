// A trainee's standing against the programme's standard on a day: what to do next, then every requirement, then how it came to be.
import { html } from "../lib/html.js";
import { withQuery } from "../lib/api.js";
import { dayWords, today } from "../lib/days.js";
import { navigate } from "../lib/navigate.js";
import { counted } from "../lib/numbers.js";
import { useResource } from "../lib/resource.js";
import { at, has, session } from "../lib/session.js";
import { Word } from "../lib/words.js";
import { tally, worstFirst } from "../model/standing.js";
import { Agreement } from "../parts/agreement.js";
import { Caution } from "../parts/caution.js";
import { Decisions } from "../parts/decisions.js";
import { TextField } from "../parts/field.js";
import { JudgedBy } from "../parts/judged-by.js";
import { NextAct } from "../parts/next-act.js";
import { Page } from "../parts/page.js";
import { StateSign } from "../parts/signs.js";
import { StandingDifference } from "../parts/standing-difference.js";
import { Reports, portfolio } from "../parts/reports.js";
import { StandingKey, StandingList } from "../parts/standing-list.js";
import { Show } from "../parts/waiting.js";

/** @param {{params: Record<string, string>, query: URLSearchParams}} props without a trainee in the address it is one's own */
export function StandingPage({ params, query }) {
  const trainee = params.trainee || session.value?.person.id || "";
  const own = trainee === session.value?.person.id;
  const only = has("reviewer") && !has("trainee", "faculty", "director", "committee"); // an external reviewer, who lists nothing
  const on = query.get("on") || "", since = query.get("since") || "";
  const standing = useResource(at(withQuery(`/trainees/${encodeURIComponent(trainee)}/standing`, { on })));
  const read = /** @type {Api.TraineeStanding | undefined} */ (standing.data);
  const here = params.trainee ? `/trainees/${encodeURIComponent(trainee)}/standing` : "/standing";
  const go = (/** @type {{on?: string, since?: string}} */ days) => navigate(withQuery(here, { on, since, ...days }), { replace: true });
  return html`<${Page} title=${own ? "My standing" : read?.trainee.name || "Standing"} lead=${read && `${read.standing.standard}, version ${read.standing.standard_version}, as of ${dayWords(read.standing.on)}`}>
    <${Show} of=${standing} what="the standing">${(/** @type {Api.TraineeStanding} */ shown) => html`
      <${NextAct} of=${shown} own=${own} />
      <h2>${own ? "Where you stand" : "Where they stand"}</h2>
      <p class="overall">${shown.standing.overall}</p>
      <p class="signs-key">${tally(shown.standing).map(({ state, count }) => html`<span><${StateSign} state=${state} />${Word(state)}: ${count}</span>`)}</p>
      <${JudgedBy} trainee=${shown.trainee} applied=${shown.applied} onMoved=${standing.reload} />
      ${!own && waitingWords(shown.waiting)}
      <${StandingList} lines=${worstFirst(shown.standing.requirements)} projections=${shown.outlook?.projections} trainee=${shown.trainee.id} on=${on} />
      <${StandingKey} />
      <${Caution} text=${shown.standing.caution} />
      <p class="small">When a requirement may be met: ${shown.outlook?.method}, assuming ${shown.outlook?.assumptions}. Days are those of the operations; a case counts once it is signed.</p>
      <h2>On another day</h2>`}<//>
    <${TextField} label="As of" type="date" max=${today()} value=${read?.standing.on || on} onValue=${(/** @type {string} */ day) => go({ on: day })} />
    ${read?.hindsight?.map(note => html`<p key=${note} class="small">${note}</p>`)}
    ${since
      ? html`<${StandingDifference} trainee=${trainee} since=${since} on=${on} onSince=${(/** @type {string} */ day) => go({ since: day })} />`
      : html`<p class="bar"><button class="quiet" type="button" onClick=${() => go({ since: daysBefore(on || today(), 91) })}>What changed since</button>
        <button class="quiet" type="button" onClick=${() => globalThis.print()}>Print</button></p>`}
    ${read && html`
      ${!only && html`<${Decisions} trainee=${trainee} />`}
      <${Agreement} trainee=${trainee} />
      ${(own || has("director", "committee")) && html`<${Reports} offers=${portfolio} trainee=${trainee} on=${on} />`}
      <p>${!only && html`<a href=${withQuery("/cases", { trainee })}>Cases</a> · <a href=${withQuery("/plans", { trainee })}>Graded plans</a> · `}<a href=${own ? "/curves" : `/trainees/${encodeURIComponent(trainee)}/curves`}>Learning curves</a> · <a href=${own ? "/growth" : `/trainees/${encodeURIComponent(trainee)}/growth`}>Growth across attempts</a></p>
      <p class="small">Reproducible from the record: evidence <code>${read.standing.evidence_hash.slice(0, 12)}</code></p>`}
  <//>`;
}

/** The calendar day so many days before another. @param {string} day @param {number} days */
function daysBefore(day, days) {
  const at = new Date(`${day}T00:00:00Z`);
  at.setUTCDate(at.getUTCDate() - days);
  return at.toISOString().slice(0, 10);
}

/** @param {Api.TraineeStanding["waiting"]} waiting */
function waitingWords({ submitted, returned, drafts }) {
  const parts = [submitted && `${counted(submitted, "case")} waiting for sign-off`, returned && `${returned} returned`, drafts && counted(drafts, "draft")].filter(Boolean);
  return parts.length > 0 ? html`<p>Not counted yet: ${parts.join(", ")}.</p>` : null;
}
