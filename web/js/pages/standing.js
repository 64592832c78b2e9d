// A trainee's standing against the programme's standard on a day.
import { html } from "../lib/html.js";
import { withQuery } from "../lib/api.js";
import { dayWords, today } from "../lib/days.js";
import { navigate } from "../lib/navigate.js";
import { counted } from "../lib/numbers.js";
import { useResource } from "../lib/resource.js";
import { at, session } from "../lib/session.js";
import { Word } from "../lib/words.js";
import { tally, worstFirst } from "../model/standing.js";
import { Agreement } from "../parts/agreement.js";
import { Caution } from "../parts/caution.js";
import { Decisions } from "../parts/decisions.js";
import { TextField } from "../parts/field.js";
import { Page } from "../parts/page.js";
import { StateSign } from "../parts/signs.js";
import { StandingKey, StandingList } from "../parts/standing-list.js";
import { Show } from "../parts/waiting.js";

/** @param {{params: Record<string, string>, query: URLSearchParams}} props without a trainee in the address it is one's own */
export function StandingPage({ params, query }) {
  const trainee = params.trainee || session.value?.person.id || "";
  const own = trainee === session.value?.person.id;
  const on = query.get("on") || "";
  const standing = useResource(at(withQuery(`/trainees/${encodeURIComponent(trainee)}/standing`, { on })));
  const read = /** @type {Api.TraineeStanding | undefined} */ (standing.data);
  const here = params.trainee ? `/trainees/${encodeURIComponent(trainee)}/standing` : "/standing";
  return html`<${Page} title=${own ? "My standing" : read?.trainee.name || "Standing"} lead=${read && `${read.standing.standard}, version ${read.standing.standard_version}, as of ${dayWords(read.standing.on)}`}>
    <${TextField} label="As of" type="date" max=${today()} value=${read?.standing.on || on}
      onValue=${(/** @type {string} */ day) => navigate(withQuery(here, { on: day }), { replace: true })} />
    <${Show} of=${standing} what="the standing">${(/** @type {Api.TraineeStanding} */ shown) => html`
      <p class="overall">${shown.standing.overall}</p>
      <p class="signs-key">${tally(shown.standing).map(({ state, count }) => html`<span><${StateSign} state=${state} />${Word(state)}: ${count}</span>`)}</p>
      ${waitingWords(shown.waiting)}
      <${StandingList} lines=${worstFirst(shown.standing.requirements)} trainee=${shown.trainee.id} on=${on} />
      <${StandingKey} />
      <${Caution} text=${shown.standing.caution} />
      <${Decisions} trainee=${shown.trainee.id} />
      <${Agreement} trainee=${shown.trainee.id} />
      <p><a href=${withQuery("/cases", { trainee: shown.trainee.id })}>Cases</a> · <a href=${withQuery("/plans", { trainee: shown.trainee.id })}>Graded plans</a> · <a href=${own ? "/curves" : `/trainees/${encodeURIComponent(shown.trainee.id)}/curves`}>Learning curves</a> · <a href=${own ? "/growth" : `/trainees/${encodeURIComponent(shown.trainee.id)}/growth`}>Growth across attempts</a></p>
      <p class="small">Reproducible from the record: evidence <code>${shown.standing.evidence_hash.slice(0, 12)}</code></p>`}<//>
  <//>`;
}

/** @param {Api.TraineeStanding["waiting"]} waiting */
function waitingWords({ submitted, returned, drafts }) {
  const parts = [submitted && `${counted(submitted, "case")} waiting for sign-off`, returned && `${returned} returned`, drafts && counted(drafts, "draft")].filter(Boolean);
  return parts.length > 0 ? html`<p>Not counted yet: ${parts.join(", ")}.</p>` : null;
}
