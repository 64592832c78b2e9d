// Practice against policy: the commonest omission first, then the shares by quarter, AF pattern, step and site, operated and planned apart.
// Every number opens what is behind it.
import { withQuery } from "../lib/api.js";
import { quarterWords, today } from "../lib/days.js";
import { html } from "../lib/html.js";
import { navigate } from "../lib/navigate.js";
import { counted, percent } from "../lib/numbers.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { capital, Word, word } from "../lib/words.js";
import { Caution } from "../parts/caution.js";
import { ChartFigure } from "../parts/chart.js";
import { SelectField, TextField } from "../parts/field.js";
import { FiguresTable } from "../parts/figures-table.js";
import { Page } from "../parts/page.js";
import { PracticeBehind, shareWords } from "../parts/practice-behind.js";
import { Empty, Show } from "../parts/waiting.js";

/** @typedef {"operated" | "planned"} Side */
/** @typedef {(share: Api.PracticeShare, about: string) => unknown} Link */

/** The two sides, with what each counts. @type {{id: Side, name: string, one: string, none: string}[]} */
const sides = [
  { id: "operated", name: "Operated", one: "operation", none: "No operation is signed off in this period." },
  { id: "planned", name: "Planned", one: "first try", none: "No plan is handed in in this period." },
];

/** @param {{query: URLSearchParams}} props */
export function PracticePage({ query }) {
  const filter = Object.fromEntries(["on", "from", "site", "pattern"].map(name => [name, query.get(name) || ""]));
  const of = query.get("of");
  return html`<${Page} title="Practice" lead="What was operated and planned against the scope policy." kind="wide">
    ${of ? html`<${PracticeBehind} filter=${filter} side=${query.get("side") === "planned" ? "planned" : "operated"} of=${of} all=${query.get("all") === "yes"} />` : html`<${Whole} filter=${filter} />`}
  <//>`;
}

/** @param {{filter: Record<string, string>}} props */
function Whole({ filter }) {
  const practice = useResource(at(withQuery("/practice", filter)));
  const read = /** @type {Api.ScopePractice | undefined} */ (practice.data);
  const go = (/** @type {Record<string, string>} */ change) => navigate(withQuery("/practice", { ...filter, ...change }), { replace: true });
  const path = (/** @type {Side} */ which, /** @type {string} */ share, /** @type {boolean} */ all) => withQuery("/practice", { ...filter, side: which, of: share, all: all ? "yes" : "" });
  return html`<div class="bar">
      <${TextField} label="As of" type="date" max=${today()} value=${read?.on || filter.on} onValue=${(/** @type {string} */ on) => go({ on })} />
      <${TextField} label="From" type="date" max=${today()} value=${filter.from} onValue=${(/** @type {string} */ from) => go({ from })} />
      <${SelectField} label="AF pattern" value=${filter.pattern} choose="All patterns" options=${(read?.operated.patterns ?? []).filter(one => one.pattern).map(({ pattern }) => ({ id: pattern, name: Word(pattern) }))} onValue=${(/** @type {string} */ pattern) => go({ pattern })} />
      <${SelectField} label="Site" value=${filter.site} choose="All sites" options=${(read?.sites ?? []).map(name => ({ id: name, name }))} onValue=${(/** @type {string} */ site) => go({ site })} />
    </div>
    <${Show} of=${practice} what="the practice">${(/** @type {Api.ScopePractice} */ shown) => html`
      <p class="practice-headline">${shown.operated.says}${shown.operated.less.n > 0 && html` <a href=${path("operated", shown.operated.says_of, false)}>Open them</a>`}</p>
      ${sides.map(one => html`<${OneSide} key=${one.id} of=${one} shown=${shown} path=${path} />`)}
      <details class="as-table"><summary>How this is counted</summary>${[...shown.notes, `Intervals: ${percent(shown.level)}, ${shown.method}; ${shown.assumptions}.`].map(note => html`<p class="small">${note}</p>`)}</details>
      <${Caution} text=${shown.caution} />`}<//>`;
}

/** @param {{of: typeof sides[number], shown: Api.ScopePractice, path: (side: Side, share: string, all: boolean) => string}} props */
function OneSide({ of: { id, name, one, none }, shown, path }) {
  const side = shown[id], label = name.toLowerCase();
  /** @type {Link} */
  const link = (share, about) => html`<${Opened} share=${share} path=${(/** @type {boolean} */ all) => path(id, share.of, all)} about=${`${about}, ${label}`} />`;
  const drawn = shown.charts.find(chart => chart.id === `${id}-by-quarter`);
  if (side.n === 0) return html`<section><h2>${name}</h2><${Empty} says=${none} /></section>`;
  return html`<section class="practice-side"><h2>${name}</h2>
    <p>${capital(counted(side.n, one, one === "first try" ? "first tries" : undefined))}${side.not_asked.hits > 0 && html`; in <a href=${path(id, side.not_asked.of, false)}>${side.not_asked.hits}</a> of them the policy asks for no scope`}.</p>
    <${FiguresTable} label=${`Against the policy, ${label}`} heads=${["Against the policy", "Of those it asks a scope for"]} rows=${[
      { key: "less", cells: ["Less than it asks for", link(side.less, "less than the policy asks for")] },
      { key: "below", cells: ["Less than the least it accepts", link(side.below, "less than the least it accepts")] }]} />
    ${drawn && html`<${ChartFigure} chart=${drawn} caution=${shown.caution} />`}
    <h3>What was left out</h3>
    <${FiguresTable} label=${`What was left out, ${label}`} heads=${["Step and lesions", "Left out, of those asked for it"]}
      rows=${side.steps.flatMap(step => [{ key: step.id, strong: true, cells: [step.name, link(step.left_out, step.name)] },
        ...step.lesions.map(lesion => ({ key: lesion.id, cells: [lesion.name, link(lesion.left_out, lesion.name)] }))])} />
    <h3>Scope by AF pattern</h3>
    <${Scopes} label=${`Scope by AF pattern, ${label}`} head="AF pattern" link=${link} rows=${side.patterns.filter(one => !shown.pattern || one.pattern === shown.pattern).map(pattern => ({ ...pattern, name: pattern.pattern ? Word(pattern.pattern) : "Unknown" }))} />
    <h3>Scope by quarter${shown.pattern ? `, ${word(shown.pattern)} AF` : ""}</h3>
    <${Scopes} label=${`Scope by quarter, ${label}`} head="Quarter" link=${link} rows=${side.quarters.map(one => ({ ...one, name: quarterWords(one.name) }))} />
    ${side.sites.length > 0 && html`<h3>By site</h3><${Scopes} label="By site" head="Site" link=${link} rows=${side.sites} />`}
  </section>`;
}

/** The scopes delivered, and where it stands to the policy. @param {{label: string, head: string, link: Link, rows: {name: string, scopes: Api.PracticeShare[], less: Api.PracticeShare, below?: Api.PracticeShare}[]}} props */
function Scopes({ label, head, link, rows }) {
  const scopeOf = (/** @type {Api.PracticeShare} */ share) => word(share.of.slice(share.of.lastIndexOf(":") + 1));
  const least = rows.some(row => row.below);
  return html`<${FiguresTable} label=${label} heads=${[head, ...rows[0].scopes.map(scope => capital(scopeOf(scope))), "Less than asked for", ...(least ? ["Less than the least accepted"] : [])]}
    rows=${rows.map(row => ({ key: row.name, cells: [row.name, ...row.scopes.map(scope => link(scope, `${row.name}, ${scopeOf(scope)}`)), link(row.less, `${row.name}, less than asked for`),
      ...(row.below ? [link(row.below, `${row.name}, less than the least accepted`)] : [])] }))} />`;
}

/** A share whose hits and whose n each open their list. @param {{share: Api.PracticeShare, path: (all: boolean) => string, about: string}} props */
function Opened({ share, path, about }) {
  if (share.n === 0) return "none";
  return html`<a href=${path(false)}>${share.hits}<span class="unseen"> behind “${about}”</span></a> of <a href=${path(true)}>${share.n}<span class="unseen"> in all behind “${about}”</span></a><small>${shareWords(share)}</small>`;
}
