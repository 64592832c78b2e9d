// How supervisors sign off: each by name, never ranked, with what helps; and how many cases from how many of them a dependable mean takes.
// A supervisor finds only their own.
import { withQuery } from "../lib/api.js";
import { dayWords, today } from "../lib/days.js";
import { html } from "../lib/html.js";
import { navigate } from "../lib/navigate.js";
import { counted, percent, plain } from "../lib/numbers.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { capital, named } from "../lib/words.js";
import { assessorLists, casesOf } from "../model/assessors.js";
import { Caution } from "../parts/caution.js";
import { SelectField, TextField } from "../parts/field.js";
import { FiguresTable } from "../parts/figures-table.js";
import { Page } from "../parts/page.js";
import { Row } from "../parts/row.js";
import { useAtrium } from "../parts/use-atrium.js";
import { Empty, Show } from "../parts/waiting.js";

const scales = [{ id: "help_given", name: "Help given" }, { id: "supervision_next", name: "Supervision next time" }];

/** @param {{query: URLSearchParams}} props */
export function AssessorsPage({ query }) {
  const on = query.get("on") || "", scale = query.get("scale") || "", who = query.get("who") || "", of = query.get("of") || "signed";
  const assessors = useResource(at(withQuery("/assessors", { on, scale })));
  const read = /** @type {Api.Assessors | undefined} */ (assessors.data);
  const go = (/** @type {Record<string, string>} */ change) => navigate(withQuery("/assessors", { on, scale, ...change }), { replace: true });
  const path = (/** @type {Api.AssessorRow} */ row, /** @type {string} */ list) => withQuery("/assessors", { on, scale, who: row.assessor.id, of: list });
  return html`<${Page} title=${read?.own ? "Your sign-offs" : "Assessors"} lead=${read?.own ? "How you sign off, and how that compares. Your director sees the same." : "How supervisors sign off, by name. Each sees their own part of this page."}>
    ${!who && html`<div class="bar">
      <${TextField} label="As of" type="date" max=${today()} value=${read?.on || on} onValue=${(/** @type {string} */ day) => go({ on: day })} />
      <${SelectField} label="Ratings of" value=${read?.scale || "help_given"} options=${scales} onValue=${(/** @type {string} */ id) => go({ scale: id })} />
    </div>`}
    <${Show} of=${assessors} what="the sign-offs">${(/** @type {Api.Assessors} */ shown) => (who
      ? html`<${Behind} shown=${shown} row=${shown.assessors.find(row => row.assessor.id === who)} of=${of} back=${withQuery("/assessors", { on, scale })} />`
      : html`${shown.assessors.length === 0 && html`<${Empty} says=${shown.own ? "You have signed nothing yet by that day." : "Nothing is signed yet by that day."}><a href="/inbox">Inbox</a><//>`}
        ${shown.assessors.map(row => html`<${OneAssessor} key=${row.assessor.id} row=${row} own=${shown.own} path=${path} />`)}
        <${Trust} ratings=${shown.ratings} />
        <details class="as-table"><summary>How this is counted</summary>${[...shown.notes, `Intervals of shares: ${percent(shown.level)}, ${shown.method}.`].map(note => html`<p class="small">${note}</p>`)}</details>
        <${Caution} text=${shown.caution} />`)}<//>
  <//>`;
}

/** @param {{row: Api.AssessorRow, own: boolean, path: (row: Api.AssessorRow, list: string) => string}} props */
function OneAssessor({ row, own, path }) {
  const link = (/** @type {Api.AgreementShare} */ share, /** @type {string} */ list, /** @type {string} */ unit, /** @type {string} */ about) => (share.share === null || share.low === null || share.high === null ? "none yet"
    : html`<a href=${path(row, list)}>${percent(share.share)} (${Math.round(100 * share.low)} to ${Math.round(100 * share.high)}) of ${counted(share.n, unit)}<span class="unseen">: cases behind “${about}”, ${row.assessor.name}</span></a>`);
  return html`<section class="assessor"><h2>${own ? "Your figures" : row.assessor.name}</h2>
    <dl class="facts">
      <dt>Signed</dt><dd><a href=${path(row, "signed")}>${counted(row.n, "case")}<span class="unseen"> signed, ${row.assessor.name}</span></a></dd>
      <dt>Wait for a signature, median</dt><dd>${waitWords(row.delay)}</dd>
      <dt>Returned first</dt><dd>${link(row.returned, "returned", "answer", "returned")}</dd>
      <dt>With something to keep and to change</dt><dd>${link(row.commented, "commented", "sign-off", "without a comment")}</dd>
      <dt>Late recall</dt><dd>${link(row.late, "late", "sign-off", "late recall")}</dd>
      <dt>Steps told as the trainee tells them</dt><dd>${link(row.steps, "steps", "step", "steps told differently")}</dd>
      <dt>Severity, in levels</dt><dd>${severityWords(row.severity)}</dd>
    </dl>
    ${row.says.map(sentence => html`<p>${sentence}</p>`)}
  </section>`;
}

/** @param {Api.AssessorRow["delay"]} delay */
function waitWords(delay) {
  if (delay.n === 0) return "none yet";
  const days = counted(delay.median_days, "day");
  return delay.interval ? `${days} (${plain(delay.interval.low)} to ${plain(delay.interval.high)})` : `${days}; ${delay.refused}`;
}

/** @param {Api.AssessorRow["severity"]} severity positive is severe */
function severityWords(severity) {
  if (!severity.interval) return `not told: ${severity.withheld}`;
  const { low, high, level } = severity.interval;
  return `${signed(severity.value)} (${percent(level)}: ${signed(low)} to ${signed(high)}), ${counted(severity.n, "rating")} of ${counted(severity.trainees, "trainee")}`;
}

/** With a true minus sign. @param {number} value */
const signed = value => `${value < 0 ? "\u2212" : ""}${Math.abs(value).toFixed(2)}`;

/** How far a mean of the programme's ratings can be trusted. @param {{ratings: Api.DStudy}} props */
function Trust({ ratings }) {
  const counts = [...new Set(ratings.means.map(mean => mean.assessors))], cases = [...new Set(ratings.means.map(mean => mean.cases))];
  const name = scales.find(one => one.id === ratings.scale)?.name.toLowerCase();
  return html`<section><h2>How far the ratings can be trusted</h2>
    ${ratings.refused ? html`<p>Not told for ${name}: ${ratings.refused}.</p>` : html`
      <p>From ${counted(ratings.ratings, "rating")} of ${name}, ${counted(ratings.trainees, "trainee")}, ${counted(ratings.assessors, "assessor")}. Phi is the share of a mean's variance that is the trainee's own: 1 would be perfect.</p>
      <p class="fewest">${ratings.fewest.map(one => html`<b>${one.says}</b> `)}</p>
      ${ratings.note && html`<p>${ratings.note}</p>`}
      <${FiguresTable} label="Phi by cases and assessors" heads=${["Mean over", ...counts.map(n => `from ${counted(n, "assessor")}`)]}
        rows=${cases.map(n => ({ key: String(n), cells: [counted(n, "case"), ...ratings.means.filter(mean => mean.cases === n).map(mean => `${mean.phi.toFixed(2)} (${mean.low.toFixed(2)} to ${mean.high.toFixed(2)})`)] }))} />
      <${FiguresTable} label="Fewest cases for a target" heads=${["Fewest cases for", ...counts.map(n => `from ${counted(n, "assessor")}`)]}
        rows=${ratings.fewest.map(one => ({ key: String(one.phi), cells: [`phi ${one.phi}`, ...one.cases.map(n => (n > 0 ? plain(n) : "not within 100"))] }))} />
      <${FiguresTable} label="Why ratings differ" heads=${["Ratings differ because of", "Variance, squared levels"]} rows=${[
        { key: "trainee", cells: ["Trainees", `${plain(ratings.trainee, 3)} (${plain(ratings.trainee_low, 3)} to ${plain(ratings.trainee_high, 3)})`] },
        { key: "assessor", cells: ["Assessors, some severer", plain(ratings.assessor, 3)] }, { key: "pair", cells: ["An assessor's view of one trainee", plain(ratings.pair, 3)] },
        { key: "residual", cells: ["From case to case", plain(ratings.residual, 3)] }]} />
      <p class="small">${capital(ratings.method)}. In brackets: ${percent(ratings.level)} limits (${ratings.limits}).</p><p class="small">${capital(ratings.assumptions)}.</p>`}
  </section>`;
}

/** The cases behind a number. @param {{shown: Api.Assessors, row: Api.AssessorRow | undefined, of: string, back: string}} props */
function Behind({ shown, row, of, back }) {
  const operations = useAtrium().data?.facts.operations;
  const ids = row ? [...new Set(casesOf(row, of))] : [];
  const known = new Map(shown.cases.map(item => [item.id, item]));
  return html`<p><a href=${back}>${shown.own ? "All your figures" : "All assessors"}</a></p>
    <h2>${[row && !shown.own ? row.assessor.name : "", assessorLists.find(list => list.id === of)?.name ?? ""].filter(Boolean).join(": ")}</h2>
    <p>${counted(ids.length, "case")}, as of ${dayWords(shown.on)}.</p>
    ${ids.length === 0 ? html`<${Empty} says="No case is behind this number." />` : html`<ul class="rows">${ids.map(id => {
      const item = known.get(id);
      return html`<li key=${id}><${Row} to=${`/cases/${id}`} name=${item ? capital(named(operations, item.operation)) : "Not signed yet"} detail=${item && `${item.trainee.name}, ${dayWords(item.operated_on)}`} /></li>`;
    })}</ul>`}
    <${Caution} text=${shown.caution} />`;
}
