// Practice against policy: the commonest omission first, then the shares by quarter, AF pattern, step and site, operated and planned apart.
// Every number opens what is behind it.
import { withQuery } from "../lib/api.js";
import { dayWords, today } from "../lib/days.js";
import { html } from "../lib/html.js";
import { navigate } from "../lib/navigate.js";
import { counted, percent } from "../lib/numbers.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { capital, named, Word, word } from "../lib/words.js";
import { behind, quarterWords, sharesOf } from "../model/practice.js";
import { Caution } from "../parts/caution.js";
import { ChartFigure } from "../parts/chart.js";
import { SelectField, TextField } from "../parts/field.js";
import { FiguresTable } from "../parts/figures-table.js";
import { Page } from "../parts/page.js";
import { Row } from "../parts/row.js";
import { useAtrium } from "../parts/use-atrium.js";
import { Empty, Show } from "../parts/waiting.js";

/** @typedef {"operated" | "planned"} Side */

/** The two sides, with what each counts. @type {{id: Side, name: string, one: string, none: string}[]} */
const sides = [
  { id: "operated", name: "Operated", one: "operation", none: "No operation is signed off in this period." },
  { id: "planned", name: "Planned", one: "first try", none: "No plan is handed in in this period." },
];

/** @param {{query: URLSearchParams}} props */
export function PracticePage({ query }) {
  const on = query.get("on") || "", from = query.get("from") || "", site = query.get("site") || "", of = query.get("of") || "";
  const side = query.get("side") === "planned" ? "planned" : "operated";
  const practice = useResource(at(withQuery("/practice", { on, from, site })));
  const read = /** @type {Api.ScopePractice | undefined} */ (practice.data);
  const filter = { on, from, site };
  const go = (/** @type {Record<string, string>} */ change) => navigate(withQuery("/practice", { ...filter, ...change }), { replace: true });
  const path = (/** @type {Side} */ which, /** @type {string} */ share, /** @type {boolean} */ all) => withQuery("/practice", { ...filter, side: which, of: share, all: all ? "yes" : "" });
  return html`<${Page} title="Practice" lead="What was operated and planned against the scope policy." kind="wide">
    ${!of && html`<div class="bar">
      <${TextField} label="As of" type="date" max=${today()} value=${read?.on || on} onValue=${(/** @type {string} */ day) => go({ on: day })} />
      <${TextField} label="From" type="date" max=${today()} value=${from} onValue=${(/** @type {string} */ day) => go({ from: day })} />
      <${SelectField} label="Site" value=${site} choose="All sites" options=${(read?.sites ?? []).map(name => ({ id: name, name }))} onValue=${(/** @type {string} */ name) => go({ site: name })} />
    </div>`}
    <${Show} of=${practice} what="the practice">${(/** @type {Api.ScopePractice} */ shown) => (of
      ? html`<${Behind} shown=${shown} side=${side} of=${of} all=${query.get("all") === "yes"} back=${withQuery("/practice", filter)} />`
      : html`<p class="practice-headline">${shown.operated.says}${shown.operated.less.n > 0 && html` <a href=${path("operated", shown.operated.says_of, false)}>Open them</a>`}</p>
        ${sides.map(one => html`<${OneSide} key=${one.id} of=${one} shown=${shown} path=${path} />`)}
        <details class="as-table"><summary>How this is counted</summary>${[...shown.notes, `Intervals: ${percent(shown.level)}, ${shown.method}; ${shown.assumptions}.`].map(note => html`<p class="small">${note}</p>`)}</details>
        <${Caution} text=${shown.caution} />`)}<//>
  <//>`;
}

/** @param {{of: typeof sides[number], shown: Api.ScopePractice, path: (side: Side, share: string, all: boolean) => string}} props */
function OneSide({ of: { id, name, one, none }, shown, path }) {
  const side = shown[id];
  const link = (/** @type {Api.PracticeShare} */ share, /** @type {string} */ about) => html`<${Opened} share=${share} path=${(/** @type {boolean} */ all) => path(id, share.of, all)} about=${`${about}, ${name.toLowerCase()}`} />`;
  const drawn = shown.charts.find(chart => chart.id === `${id}-by-quarter`);
  if (side.n === 0) return html`<section><h2>${name}</h2><${Empty} says=${none} /></section>`;
  return html`<section class="practice-side"><h2>${name}</h2>
    <p>${capital(counted(side.n, one, one === "first try" ? "first tries" : undefined))}${side.not_asked.length > 0 && `; in ${side.not_asked.length} of them the policy asks for no scope`}.</p>
    <${FiguresTable} label=${`Against the policy, ${name.toLowerCase()}`} heads=${["Against the policy", "Of those it asks a scope for"]} rows=${[
      { key: "less", cells: ["Less than it asks for", link(side.less, "less than the policy asks for")] },
      { key: "below", cells: ["Less than the least it accepts", link(side.below, "less than the least it accepts")] }]} />
    ${drawn && html`<${ChartFigure} chart=${drawn} caution=${shown.caution} />`}
    <h3>What was left out</h3>
    <${FiguresTable} label=${`What was left out, ${name.toLowerCase()}`} heads=${["Step and lesions", "Left out, of those asked for it"]}
      rows=${side.steps.flatMap(step => [{ key: step.id, strong: true, cells: [step.name, link(step.left_out, step.name)] },
        ...step.lesions.map(lesion => ({ key: lesion.id, cells: [lesion.name, link(lesion.left_out, lesion.name)] }))])} />
    <h3>Scope by AF pattern</h3>
    <${FiguresTable} label=${`Scope by AF pattern, ${name.toLowerCase()}`} heads=${["AF pattern", ...side.patterns[0].scopes.map(scope => Word(scopeOf(scope))), "Less than asked for"]}
      rows=${side.patterns.map(pattern => ({ key: pattern.pattern || "unknown", cells: [pattern.pattern ? Word(pattern.pattern) : "Unknown",
        ...pattern.scopes.map(scope => link(scope, `${word(pattern.pattern)}, ${word(scopeOf(scope))}`)), link(pattern.less, `${word(pattern.pattern)}, less than asked for`)] }))} />
    ${side.sites.length > 0 && html`<h3>By site</h3><${FiguresTable} label="By site" heads=${["Site", "Less than asked for", "Less than the least accepted"]}
      rows=${side.sites.map(one => ({ key: one.name, cells: [one.name, link(one.less, one.name), link(one.below, `${one.name}, less than the least accepted`)] }))} />`}
  </section>`;
}

/** @param {Api.PracticeShare} scope */
const scopeOf = scope => scope.of.slice(scope.of.lastIndexOf(":") + 1);

/** A share whose hits and whose n each open their list. @param {{share: Api.PracticeShare, path: (all: boolean) => string, about: string}} props */
function Opened({ share, path, about }) {
  if (share.share === null || share.low === null || share.high === null) return "none";
  const range = ` (${Math.round(100 * share.low)} to ${Math.round(100 * share.high)})`;
  return html`<a href=${path(false)}>${share.hits}<span class="unseen"> behind “${about}”</span></a> of <a href=${path(true)}>${share.n}<span class="unseen"> in all behind “${about}”</span></a><small>${percent(share.share)}${range}</small>`;
}

/** The list behind a number. @param {{shown: Api.ScopePractice, side: Side, of: string, all: boolean, back: string}} props */
function Behind({ shown, side, of, all, back }) {
  const operations = useAtrium().data?.facts.operations;
  const found = sharesOf(shown[side], word).get(of);
  const operated = side === "operated", items = found ? behind(operated ? shown.operations : shown.plans, found.share, all) : [];
  const name = (/** @type {Api.PracticeItem} */ item) => capital(operated ? named(operations, item.name) : item.name);
  return html`<p><a href=${back}>All of practice</a></p>
    <h2>${found ? `${operated ? "Operated" : "Planned"}, ${found.says}` : "No such number"}</h2>
    ${found && html`<p>${all ? `All ${items.length} it is counted of` : counted(items.length, operated ? "operation" : "plan")}, as of ${dayWords(shown.on)}.</p>`}
    ${items.length === 0 ? html`<${Empty} says="Nothing is behind this number." />`
      : html`<ul class="rows">${items.map(item => html`<li key=${item.id}><${Row} to=${`/${operated ? "cases" : "plans"}/${item.id}`} name=${name(item)}
        detail=${[item.trainee.name, dayWords(item.on), item.site && quarterWords(item.site), item.pattern && word(item.pattern)].filter(Boolean).join(", ")}
        after=${html`${Word(item.scope)}<small>${item.target && item.target !== "none" ? `asked for: ${word(item.target)}` : "no scope asked for"}</small>`} /></li>`)}</ul>`}
    <${Caution} text=${shown.caution} />`;
}
