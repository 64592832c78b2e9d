// What became of the programme's operations: how complete the follow-up is, then freedom from arrhythmia, pacemakers, sites and surgeons.
import { withQuery } from "../lib/api.js";
import { dayWords, today } from "../lib/days.js";
import { html } from "../lib/html.js";
import { navigate } from "../lib/navigate.js";
import { counted } from "../lib/numbers.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { Word } from "../lib/words.js";
import { Caution } from "../parts/caution.js";
import { ChartFigure } from "../parts/chart.js";
import { CheckField, SelectField, TextField } from "../parts/field.js";
import { CompletenessTable, Groups, Units } from "../parts/outcome-tables.js";
import { Page } from "../parts/page.js";
import { Empty, Show } from "../parts/waiting.js";

/** What the address may narrow. */
const NARROW = ["on", "year", "site", "pattern", "month", "outside"];

/** The choices in an address. @param {URLSearchParams} query @returns {Record<string, string>} */
export const chosenIn = query => Object.fromEntries(NARROW.map(name => [name, query.get(name) || ""]));

/** @param {{query: URLSearchParams}} props */
export function OutcomesPage({ query }) {
  const chosen = chosenIn(query), outcomes = useResource(at(withQuery("/outcomes", chosen)));
  const read = /** @type {Api.Outcomes | undefined} */ (outcomes.data);
  const go = (/** @type {Record<string, string>} */ change) => navigate(withQuery("/outcomes", { ...chosen, ...change }), { replace: true });
  return html`<${Page} title="Outcomes" lead=${read && `${counted(read.operations, "signed operation")}, as on record on ${dayWords(read.on)}.`}>
    <${Filters} read=${read} chosen=${chosen} go=${go} />
    <${Show} of=${outcomes} what="the outcomes">${(/** @type {Api.Outcomes} */ shown) => html`
      <p class="not-causal"><b>What this cannot say.</b> ${shown.causal}</p>
      <${Caution} text=${shown.caution} />
      ${shown.outside ? html`<p>As it may leave the programme: counts under ${shown.least} are hidden, with others that would tell them, and no case is named.</p>`
        : html`<p class="small">This view is for the programme only. To take a chart away, choose Small numbers hidden.</p>`}
      ${shown.operations === 0 ? html`<${Empty} says="No signed operation to show." />` : html`<${Sections} shown=${shown} chosen=${chosen} />`}`}<//>
    <p><a href="/cohort">Cohort</a></p>
  <//>`;
}

/** @param {{read?: Api.Outcomes, chosen: Record<string, string>, go: (change: Record<string, string>) => void}} props */
function Filters({ read, chosen, go }) {
  const select = (/** @type {string} */ label, /** @type {string} */ name, /** @type {{id: string, name: string}[]} */ options) =>
    html`<${SelectField} label=${label} value=${chosen[name]} options=${options} onValue=${(/** @type {string} */ id) => go({ [name]: id })} />`;
  const all = (/** @type {string} */ name, /** @type {(string | number)[]} */ ids = []) => [{ id: "", name }, ...ids.map(id => ({ id: String(id), name: name === "All patterns" ? Word(String(id)) : String(id) }))];
  return html`<div class="bar outcome-filters">
    <${TextField} label="As of" type="date" max=${today()} value=${read?.on || chosen.on} onValue=${(/** @type {string} */ on) => go({ on })} />
    ${select("Year of operation", "year", all("All years", read?.years))}
    ${select("Site", "site", all("All sites", read?.sites))}
    ${select("AF pattern", "pattern", all("All patterns", read?.patterns))}
    <${SelectField} label="Told at month" value=${String(read?.month ?? "")} options=${(read?.months ?? []).map(month => ({ id: String(month), name: String(month) }))} onValue=${(/** @type {string} */ month) => go({ month })} />
    <${CheckField} label="Small numbers hidden" value=${chosen.outside !== ""} onValue=${(/** @type {boolean} */ yes) => go({ outside: yes ? "true" : "" })} />
  </div>`;
}

/** @param {{shown: Api.Outcomes, chosen: Record<string, string>}} props */
function Sections({ shown, chosen }) {
  const to = (/** @type {string} */ of) => (shown.outside ? "" : withQuery("/outcomes/cases", { of, ...chosen, on: shown.on }));
  const figure = (/** @type {Api.Chart | undefined} */ chart) => chart && html`<${ChartFigure} key=${chart.id} chart=${chart} files=${Boolean(shown.outside)} caution=${`${shown.causal} ${shown.caution}`} />`;
  const freedom = (/** @type {Api.OutcomeFreedom} */ f) => html`${figure(f.chart)}${!f.chart && html`<p>${f.says}</p>`}<${Groups} of=${f} month=${shown.month} to=${to} outside=${shown.outside} /><${LogRank} of=${f} />`;
  const units = (/** @type {Api.OutcomeUnits} */ u) => html`${figure(u.chart)}${!u.chart && html`<p>${u.says}</p>`}<${Units} of=${u} to=${to} />`;
  return html`
    <section><h2>Follow-up on record</h2><p>${shown.completeness[0].says}</p>
      <${CompletenessTable} rows=${shown.completeness} to=${to} />
      <p class="small">A follow-up counts when it says something of the rhythm, or of a death. Everything below rests on these only.</p></section>
    <section><h2>Freedom by scope delivered</h2><p><b>Free:</b> ${shown.success} (follow-up rule ${shown.rule_version})</p>${freedom(shown.by_scope)}</section>
    <section><h2>Freedom by AF pattern</h2>${freedom(shown.by_pattern)}</section>
    <section><h2>Pacemaker by scope delivered</h2>${figure(shown.pacemakers.chart)}${!shown.pacemakers.chart && html`<p>${shown.pacemakers.says}</p>`}
      <${Groups} of=${shown.pacemakers} month=${shown.month} to=${to} outside=${shown.outside} /></section>
    <section><h2>By site</h2>${units(shown.by_site)}</section>
    <section><h2>By supervising surgeon</h2>${units(shown.by_supervisor)}</section>
    <section><h2>Observed less expected</h2>${figure(shown.running.chart)}${!shown.running.chart && html`<p>${shown.running.says}</p>`}
      ${shown.running.observed > 0 && html`<p>${counted(shown.running.observed, "event")} observed, ${shown.running.expected.toFixed(1)} expected, in ${counted(shown.running.n, "operation")} known at month ${shown.month}.</p>`}
    </section>`;
}

/** @param {{of: Api.OutcomeFreedom}} props */
const LogRank = ({ of: { test, refused } }) => (test
  ? html`<p>Log-rank test: chi-squared ${test.chi_squared.toFixed(2)} on ${counted(test.degrees_of_freedom, "degree")} of freedom, ${test.p < 0.001 ? "p < 0.001" : `p = ${test.p.toFixed(3)}`},
    from ${counted(test.n.reduce((sum, n) => sum + n, 0), "operation")} with ${counted(test.observed.reduce((sum, n) => sum + n, 0), "event")} in ${counted(test.n.length, "group")}.
    Not allowed for: whatever else sets the groups apart.</p>`
  : html`<p>${refused}</p>`);
