// The evidence of one requirement: what it says, the value with its interval and n, what was used, what was left out and why.
import { html } from "../lib/html.js";
import { withQuery } from "../lib/api.js";
import { dayWords } from "../lib/days.js";
import { measured, percent } from "../lib/numbers.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { Word } from "../lib/words.js";
import { projected } from "../model/outlook.js";
import { Caution } from "../parts/caution.js";
import { EvidenceRow, useEvidenceNames } from "../parts/evidence-row.js";
import { IntervalFigure } from "../parts/interval-figure.js";
import { Page } from "../parts/page.js";
import { RatingSources } from "../parts/rating-sources.js";
import { StateSign } from "../parts/signs.js";
import { Empty, Show } from "../parts/waiting.js";

/** @param {{params: Record<string, string>, query: URLSearchParams}} props */
export function EvidencePage({ params, query }) {
  const on = query.get("on") || "";
  const trainee = encodeURIComponent(params.trainee);
  const standing = useResource(at(withQuery(`/trainees/${trainee}/standing`, { on })));
  const read = /** @type {Api.TraineeStanding | undefined} */ (standing.data);
  const line = read?.standing.requirements.find(one => one.requirement === params.requirement);
  return html`<${Page} title=${line ? Word(line.requirement) : "Evidence"} lead=${read && `${read.trainee.name}, as of ${dayWords(read.standing.on)}`}>
    <${Show} of=${standing} what="the evidence">${(/** @type {Api.TraineeStanding} */ shown) => (line
      ? html`<${EvidenceOf} line=${line} trainee=${params.trainee} caution=${shown.standing.caution} projection=${shown.outlook?.projections.find(one => one.requirement === line.requirement)} />`
      : html`<${Empty} says="The standard in force has no such requirement."><a href=${`/trainees/${trainee}/standing`}>The whole standing</a><//>`)}<//>
    <p><a href=${withQuery(`/trainees/${trainee}/standing`, { on })}>The whole standing</a></p>
  <//>`;
}

/** @param {{line: Api.RequirementStanding, trainee: string, caution: string, projection?: Api.Projection}} props */
function EvidenceOf({ line, trainee, caution, projection }) {
  const names = useEvidenceNames(trainee, new Set([line.used_kind, ...line.left_out.map(one => one.kind)]));
  const misses = new Set(line.misses);
  const interval = line.interval && `${percent(line.interval.level)} interval, ${line.interval.method}.`;
  return html`
    <p>${line.says}</p>
    <p class="overall"><span class="state-words"><${StateSign} state=${line.state} />${Word(line.state)}</span> ${measured(line)}</p>
    <${IntervalFigure} line=${line} width=${280} />
    <p>${line.explanation} ${interval && html`<span class="small">${interval}</span>`}</p>
    ${line.kind === "curve" && html`<p><a href=${`/trainees/${encodeURIComponent(trainee)}/curves`}>The learning curve, case by case</a></p>`}
    ${line.ratings && html`<${RatingSources} of=${line.ratings} />`}
    ${line.next && html`<h2>What would move it</h2><p>${line.next}</p>`}
    ${projection && projected(projection) && html`<p>${projected(projection)}</p>`}
    <h2>Evidence used (${line.used.length})</h2>
    ${line.used.length === 0 ? html`<p>None.</p>` : html`<ul class="rows">${line.used.map(id => html`<li key=${id}><${EvidenceRow} id=${id} kind=${line.kind === "follow-up" ? "follow-up" : line.used_kind}
      name=${names.get(id)} why=${misses.has(id) ? "no follow-up on record" : ""} /></li>`)}</ul>`}
    <h2>Left out (${line.left_out.length})</h2>
    ${line.left_out.length === 0 ? html`<p>Nothing.</p>` : html`<ul class="rows">${line.left_out.map(one => html`<li
      key=${`${one.id} ${one.reason}`}><${EvidenceRow} id=${one.id} kind=${one.kind} name=${names.get(one.id)} why=${one.reason} /></li>`)}</ul>`}
    <${Caution} text=${caution} />`;
}
