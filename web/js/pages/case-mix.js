// Case mix and rotations: what each trainee still lacks on the counts of the standard, and whether where they are to work can supply it.
import { html } from "../lib/html.js";
import { withQuery } from "../lib/api.js";
import { dayWords, today } from "../lib/days.js";
import { navigate } from "../lib/navigate.js";
import { counted } from "../lib/numbers.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { capital, Word } from "../lib/words.js";
import { scarcest, supplyVerdict, supplyWords } from "../model/supply.js";
import { Caution } from "../parts/caution.js";
import { TextField } from "../parts/field.js";
import { Page } from "../parts/page.js";
import { evidencePath } from "../parts/standing-list.js";
import { Empty, Show } from "../parts/waiting.js";

/** @param {{query: URLSearchParams}} props */
export function CaseMixPage({ query }) {
  const on = query.get("on") || "";
  const mix = useResource(at(withQuery("/case-mix", { on })));
  const read = /** @type {Api.CaseMix | undefined} */ (mix.data);
  return html`<${Page} title="Case mix and rotations" lead="What each still lacks on the counts of the standard, and whether the postings ahead can supply it, by what the sites gave in the last year.">
    <${TextField} label="As of" type="date" max=${today()} value=${read?.on || on} onValue=${(/** @type {string} */ day) => navigate(withQuery("/case-mix", { on: day }), { replace: true })} />
    <${Show} of=${mix} what="the case mix">${(/** @type {Api.CaseMix} */ shown) => html`
      ${shown.trainees.length === 0 && html`<${Empty} says="No trainee on that day." />`}
      ${shown.trainees.map(one => html`<${Trainee} key=${one.id} trainee=${one} on=${shown.on} />`)}
      <h2>What the sites gave</h2>
      <p>Days trainees were posted there in the year up to ${dayWords(shown.on)}: ${shown.sites.map(site => `${site.site} ${counted(site.days, "day")}`).join(", ")}.</p>
      <p class="small">${capital(shown.method)}. It assumes that ${shown.assumptions}. In brackets: ${Math.round(100 * (shown.trainees[0]?.lines[0]?.level || 0.9))} % limits.</p>
      <${Caution} text=${shown.caution} />`}<//>
    <p><a href="/cohort">The cohort</a></p>
  <//>`;
}

/** @param {{trainee: Api.CaseMix["trainees"][number], on: string}} props */
const Trainee = ({ trainee, on }) => html`<section class="cohort-one" aria-label=${trainee.name}>
  <h2><a href=${`/people/${trainee.id}`}>${trainee.name}</a></h2>
  <p class="small">${trainee.until ? `Training ends on ${dayWords(trainee.until)}.` : "No end of training is set."}
    ${trainee.plan.length === 0 ? " No posting ahead." : ` Postings: ${trainee.plan.map(one => `${one.site} from ${dayWords(one.from)}${one.until ? ` to ${dayWords(one.until)}` : ""}`).join("; ")}.`}</p>
  <ul class="rows">${scarcest(trainee.lines).map(line => html`<li key=${line.requirement}><div class="row"><span class="row-main">
    <a class="row-link" href=${evidencePath(trainee.id, line.requirement, on)}>${Word(line.requirement)}: ${line.has} of ${line.target}</a>
    <small>${capital(supplyWords(line))}.</small></span><span class="amount">${supplyVerdict(line)}</span></div>
    ${line.lacks > 0 && line.sources.length > 0 && html`<details class="adjust"><summary>Where that comes from: ${Word(line.requirement)}, ${trainee.name}</summary>
      <ul>${line.sources.map(source => html`<li>${source.site}: ${counted(source.ahead, "day")} ahead; ${counted(source.cases, "such case")} in ${counted(source.days, "trainee day")} of the last year${source.evidence.length > 0 && html`:
        ${source.evidence.map((id, i) => html` <a href=${`/cases/${id}`} aria-label=${`Case ${i + 1} at ${source.site} of ${Word(line.requirement)}, ${trainee.name}`}>${i + 1}</a>`)}`}</li>`)}</ul></details>`}
  </li>`)}</ul>
</section>`;
