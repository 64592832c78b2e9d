// A panel that sets a test's passing mark: a judge rates one question at a time; whoever called it sees how far the judges are and what comes of it.
import { useEffect, useRef, useState } from "preact/hooks";
import { post, put } from "../lib/api.js";
import { announce } from "../lib/announce.js";
import { html } from "../lib/html.js";
import { counted, plain } from "../lib/numbers.js";
import { inWords } from "../lib/problem.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { Caution } from "../parts/caution.js";
import { Page } from "../parts/page.js";
import { PanelRate } from "../parts/panel-rate.js";
import { PanelLimits, PanelResult, PanelRounds } from "../parts/panel-result.js";
import { ReasonAct } from "../parts/reason-act.js";
import { FiguresTable } from "../parts/figures-table.js";
import { useAct } from "../parts/use-act.js";
import { Empty, Show, Trouble } from "../parts/waiting.js";

/** @param {{params: Record<string, string>, query: URLSearchParams}} props */
export function TestPanelPage({ params, query }) {
  const asked = query.get("panel");
  const test = useResource(at(`/tests/${encodeURIComponent(params.test)}`));
  const read = /** @type {Api.TestDetail | undefined} */ (test.data);
  const id = asked || read?.panels.find(one => one.judging)?.id || read?.panels[0]?.id;
  const path = id ? at(`/panels/${encodeURIComponent(id)}`) : null;
  const panel = useResource(path);
  return html`<${Page} title="Panel" lead=${read && `The passing mark of ${read.head.title}`}>
    <p class="ways"><a href=${`/tests/${encodeURIComponent(params.test)}`}>The test</a></p>
    <${Show} of=${test} what="the test">${() => (path ? html`<${Show} of=${panel} what="the panel">${(/** @type {Api.PanelDetail} */ now) => html`<${Panel} now=${now} path=${path} onNews=${panel.set} />`}<//>`
      : html`<${Empty} says="No panel was called for this test." />`)}<//>
  <//>`;
}

/** @param {{now: Api.PanelDetail, path: string, onNews: (panel: Api.PanelDetail) => void}} props */
function Panel({ now, path, onNews }) {
  const { busy, problem, refusal, act } = useAct();
  const { may } = now;
  const move = (/** @type {string} */ kind, /** @type {string} */ done, /** @type {unknown} */ body = undefined) => act(done, async () => onNews(await post(`${path}/${kind}`, body, { revision: now.revision })));
  const ready = now.progress.filter(one => !one.left_out && one.rated === one.asked), late = now.progress.filter(one => !one.left_out && one.rated < one.asked);
  const [asking, setAsking] = useState(false);
  const close = () => {
    if (late.length > 0 && !asking) return setAsking(true);
    setAsking(false);
    return move("close", "The round is closed.");
  };
  return html`
    <p>${now.method === "angoff" ? "Modified Angoff" : "Hofstee"}, version ${now.version} of the test. ${now.status === "open" ? `Round ${now.round}${now.method === "angoff" ? " of 2" : ""} is open.` : now.status === "closed" ? "It is over." : `It was withdrawn: ${now.reason}`}</p>
    ${problem && html`<${Trouble} problem=${problem} />`}
    ${now.result && html`<${PanelResult} now=${now} />`}
    ${may.includes("adopt") && html`<${ReasonAct} name="Adopt the mark" label="Why it is adopted" confirm="Adopt the mark" busy=${busy} problem=${refusal} onGiven=${(/** @type {string} */ reason, /** @type {Api.Override[]} */ overrides) => move("adopt", "The mark is adopted.", { reason, overrides })} />`}
    ${may.includes("rate") && (now.method === "angoff" ? html`<${PanelRate} key=${`${now.id} ${now.round}`} now=${now} path=${path} onNews=${onNews} />` : html`<${Limits} now=${now} path=${path} onNews=${onNews} />`)}
    ${now.status === "open" && html`<section aria-labelledby="progress-title"><h2 id="progress-title">The judges</h2>
      <${FiguresTable} label="How far the judges are" heads=${["Judge", "Rated"]} rows=${now.progress.map(one => ({ key: one.judge, cells: [one.name, one.left_out ? "left out: had not rated everything" : `${one.rated} of ${one.asked}`] }))} />
      ${may.includes("close") && html`${asking && html`<p class="notice" role="alert">${late.map(one => one.name).join(", ")} ${late.length === 1 ? "has" : "have"} not rated everything and would be left out. Press again to close the round all the same.</p>`}
        ${now.method === "hofstee" && now.scores < now.fewest_scores && html`<p class="notice">${counted(now.scores, "person has", "people have")} sat this version: the method needs the scores of at least ${now.fewest_scores} (common practice, no source).</p>`}
        <div class="bar"><button type="button" disabled=${busy || ready.length === 0 || (now.method === "hofstee" && now.scores < now.fewest_scores)} onClick=${close}>Close round ${now.round}</button>
        <${ReasonAct} name="Withdraw the panel" label="Why it is withdrawn" confirm="Withdraw the panel" busy=${busy} problem=${refusal} onGiven=${(/** @type {string} */ reason, /** @type {Api.Override[]} */ overrides) => move("withdraw", "The panel is withdrawn.", { reason, overrides })} /></div>`}
    </section>`}
    ${now.rounds.length > 0 && html`<${PanelRounds} now=${now} />`}
    ${now.limits.length > 0 && html`<${PanelLimits} now=${now} />`}
    <details><summary>How the mark is found</summary><ul>${now.rules.map(rule => html`<li>${rule}</li>`)}</ul></details>
    <${Caution} text=${now.caution} />`;
}

/** @type {[keyof Api.PanelLimits, string][]} */
const limitFields = [["least_mark", "Least acceptable mark"], ["highest_mark", "Highest acceptable mark"], ["least_fail", "Least acceptable share failing"], ["highest_fail", "Highest acceptable share failing"]];

/** What a judge finds bearable. @param {{now: Api.PanelDetail, path: string, onNews: (panel: Api.PanelDetail) => void}} props */
function Limits({ now, path, onNews }) {
  const [limits, setLimits] = useState(now.own?.limits || { least_mark: 50, highest_mark: 75, least_fail: 0, highest_fail: 30 });
  const { busy, lines, problem, act } = useAct("limits");
  const form = useRef(null);
  useEffect(() => { if (lines.length > 0) announce("Not saved."); }, [lines]);
  const save = (/** @type {Event} */ event) => { event.preventDefault(); act("Saved.", async () => onNews(await put(`${path}/ratings`, { limits }))); };
  return html`<section aria-labelledby="limits-title"><h2 id="limits-title">What you find bearable</h2>
    <p>Whatever the scores are: the least and the highest mark you could accept, and the least and the highest share of trainees failing. Nobody sees it before the panel is closed.</p>
    <form ref=${form} novalidate onSubmit=${save}>
      ${problem && html`<p class="fault" role="alert">${inWords(problem).title}. ${inWords(problem).next}</p>`}
      ${limitFields.map(([name, label]) => { const fault = lines.find(line => line.field === name)?.says; return html`<div class="field"><label for=${name}>${label}</label>
        <span class="with-unit"><input id=${name} type="number" inputmode="decimal" min="0" max="100" value=${limits[name]} aria-invalid=${fault ? "true" : undefined} aria-describedby=${fault ? `${name}-fault` : undefined} onInput=${(/** @type {any} */ event) => setLimits({ ...limits, [name]: Number(event.target.value) })} /><span>%</span></span>
        ${fault && html`<p class="fault" id=${`${name}-fault`}>${fault}</p>`}</div>`; })}
      <div class="bar"><button type="submit" class="main-act" disabled=${busy}>Save</button><span class="small">${now.own?.limits ? `Saved: ${plain(now.own.limits.least_mark)} to ${plain(now.own.limits.highest_mark)} %, ${plain(now.own.limits.least_fail)} to ${plain(now.own.limits.highest_fail)} % failing.` : "Not saved yet."}</span></div>
    </form></section>`;
}
