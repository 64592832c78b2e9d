// One of the programme's own tests: its draft being written, its state, its panels and passing marks, and how trainees did.
import { useState } from "preact/hooks";
import { post, put } from "../lib/api.js";
import { dayWords } from "../lib/days.js";
import { html } from "../lib/html.js";
import { counted, percent, plain } from "../lib/numbers.js";
import { useResource } from "../lib/resource.js";
import { at, has } from "../lib/session.js";
import { Word } from "../lib/words.js";
import { cutWords, testFacts } from "../model/own-test.js";
import { TopicWords } from "../model/quiz.js";
import { Caution } from "../parts/caution.js";
import { ChartFigure } from "../parts/chart.js";
import { FiguresTable } from "../parts/figures-table.js";
import { FigureSign } from "../parts/panel-words.js";
import { Page } from "../parts/page.js";
import { PanelCall } from "../parts/panel-call.js";
import { ReasonAct } from "../parts/reason-act.js";
import { Row } from "../parts/row.js";
import { TestEditor, useTestCheck } from "../parts/test-editor.js";
import { useAct } from "../parts/use-act.js";
import { useAll } from "../parts/use-all.js";
import { Empty, Show, Trouble } from "../parts/waiting.js";

/** @param {{params: Record<string, string>}} props */
export function TestPage({ params }) {
  const path = at(`/tests/${encodeURIComponent(params.test)}`);
  const test = useResource(path), questions = useAll(at("/questions"));
  const read = /** @type {Api.TestDetail | undefined} */ (test.data);
  return html`<${Page} title=${read?.head.title || "Test"} lead=${read && `${Word(read.head.status)}, version ${read.head.version}. ${testFacts(read.head)}.`} kind="wide">
    <p class="ways"><a href="/tests">All tests</a></p>
    <${Show} of=${test} what="the test">${(/** @type {Api.TestDetail} */ now) => html`<${Show} of=${questions} what="the questions">${(/** @type {Api.QuestionHead[]} */ heads) => html`
      <${Whole} key=${`${now.head.revision}`} now=${now} heads=${heads} path=${path} onDone=${test.set} />`}<//>`}<//>
  <//>`;
}

/** @param {{now: Api.TestDetail, heads: Api.QuestionHead[], path: string, onDone: (test: Api.TestDetail) => void}} props */
function Whole({ now, heads, path, onDone }) {
  const { head } = now, { may } = head;
  const [plan, setPlan] = useState(now.plan);
  const check = useTestCheck(plan, now.check);
  const { busy, problem, refusal, lines, act } = useAct("plan");
  const changed = JSON.stringify(plan) !== JSON.stringify(now.plan), writing = may.includes("edit");
  const move = (/** @type {string} */ kind, /** @type {string} */ done, /** @type {unknown} */ body = undefined) => act(done, async () => onDone(await post(`${path}/${kind}`, body, { revision: head.revision })));
  const save = () => act("Saved.", async () => onDone(await put(path, { plan }, { revision: head.revision })));
  const inUse = now.versions.find(one => one.version === head.live_version);
  return html`
    ${problem && html`<${Trouble} problem=${problem} />`}
    ${head.retired_for && html`<p class="notice">Retired: ${head.retired_for}</p>`}
    ${lines.length > 0 && html`<div class="fault-summary" role="alert"><p class="strong">Not done</p><ul>${lines.map(line => html`<li>${line.says}</li>`)}</ul></div>`}
    ${writing ? html`<${TestEditor} plan=${plan} check=${check} heads=${heads} onPlan=${setPlan} />
      ${check.faults.length > 0 && html`<section class="notice" aria-label="What is missing"><p class="strong">Before it can be put to use</p><ul>${check.faults.map(one => html`<li>${faultWords(one)}</li>`)}</ul></section>`}`
      : html`<${Asked} plan=${now.plan} check=${now.check} />
        ${head.status === "live" && now.check.faults.length > 0 && html`<p class="notice">It is not offered now: ${now.check.faults.map(faultWords).join("; ")}. Revise it.</p>`}`}
    <div class="bar">
      ${writing && html`<button type="button" disabled=${busy || !changed} onClick=${save}>Save the draft</button>`}
      ${may.includes("publish") && html`<button type="button" class="main-act" disabled=${busy || changed || check.faults.length > 0} onClick=${() => move("publish", "It is in use.")}>Put it to use</button>`}
      ${may.includes("revise") && html`<button type="button" class="quiet" disabled=${busy} onClick=${() => move("revise", "The next version is begun.")}>Write the next version</button>`}
      ${may.includes("retire") && html`<${ReasonAct} name="Take it out of use" label="Why it is taken out of use" confirm="Take it out of use" busy=${busy} problem=${refusal} onGiven=${(/** @type {string} */ reason, /** @type {Api.Override[]} */ overrides) => move("retire", "It is out of use.", { reason, overrides })} />`}
    </div>
    ${writing && !may.includes("publish") && html`<p class="small">You propose; the director puts it to use.</p>`}
    ${now.versions.length > 0 && html`<${Marks} now=${now} heads=${heads} inUse=${inUse} />`}
    ${now.versions.length > 0 && has("director") && html`<${Results} path=${path} />`}`;
}

/** @param {Api.CheckFault} fault */
const faultWords = ({ field, message }) => (field.includes("minutes") ? `The time ${message}` : field.includes("title") ? `The name ${message}` : field === "rows" ? message : `${rowWords(field)} ${message}`);

/** @param {string} field */
function rowWords(field) {
  const row = /^(rows|fixed)\[(\d+)\]/.exec(field);
  return row ? `${row[1] === "rows" ? "Row" : "Question"} ${Number(row[2]) + 1}` : field;
}

/** What a version asks. @param {{plan: Api.TestPlan, check: Api.TestCheck}} props */
const Asked = ({ plan, check }) => ((plan.fixed || []).length > 0 ? html`<h2>Questions in their order</h2><ol>${check.chosen.map(one => html`<li><a href=${`/questions/${encodeURIComponent(one.item)}`}>${one.stem || one.item}</a> <small>${one.topic ? TopicWords(one.topic) : ""}</small></li>`)}</ol>`
  : html`<h2>Questions by topic</h2><ul>${(plan.rows || []).map(row => html`<li>${TopicWords(row.topic)}: ${counted(row.items, "question")}${row.difficulty ? `, ${row.difficulty}` : ""}</li>`)}</ul>`);

/** Passing marks and panels. @param {{now: Api.TestDetail, heads: Api.QuestionHead[], inUse?: Api.TestVersion}} props */
function Marks({ now, heads, inUse }) {
  const cuts = now.versions.flatMap(version => version.cuts.map(cut => ({ ...cut, version: version.version })));
  const open = now.panels.some(one => one.status === "open"), id = encodeURIComponent(now.head.id);
  return html`<section aria-labelledby="mark-title"><h2 id="mark-title">Passing mark</h2>
    <p class="overall">${cutWords(now.head.cut)}</p>
    ${cuts.length > 0 && html`<ul>${cuts.map(cut => html`<li>Version ${cut.version}: ${cutWords(cut)} Adopted by ${cut.adopted_by_name}, ${dayWords(cut.adopted_at)}: ${cut.reason}</li>`)}</ul>`}
    ${now.panels.length > 0 && html`<h3>Panels</h3><ul class="rows">${now.panels.map(one => html`<li key=${one.id}><${Row} to=${`/tests/${id}/panel?panel=${encodeURIComponent(one.id)}`} name=${one.method === "angoff" ? "Modified Angoff" : "Hofstee"}
      detail=${`${counted(one.judges, "judge")}${one.items ? `, ${counted(one.items, "question")}` : ""}, version ${one.version}, ${dayWords(one.created_at)}`} after=${html`<${FigureSign} panel=${one} />`} /></li>`)}</ul>`}
    ${now.may_call && inUse && !open && html`<details class="call"><summary>Call a panel</summary><${PanelCall} test=${now.head.id} plan=${inUse.plan} heads=${heads} /></details>`}
  </section>`;
}

/** @param {{path: string}} props */
function Results({ path }) {
  const results = useResource(`${path}/results`);
  return html`<section aria-labelledby="results-title"><h2 id="results-title">Results</h2>
    <${Show} of=${results} what="the results">${(/** @type {Api.TestResults} */ r) => html`${r.people === 0 ? html`<${Empty} says=${`Nobody has sat version ${r.version} yet.`} />`
      : html`<p class="overall">${r.passed} of ${counted(r.people, "person", "people")} passed: ${percent(r.share || 0)} (${percent(r.level)} interval ${Math.round(100 * (r.low || 0))} to ${Math.round(100 * (r.high || 0))})</p>
        <p>${counted(r.attempts, "attempt")} at version ${r.version}. ${r.method}. ${r.assumptions}</p>
        <details><summary>Who is behind it</summary><${FiguresTable} label="Attempts behind the results" heads=${["Trainee", "Score", "Mark", "Result"]} rows=${r.behind.map(one => ({ key: one.quiz, cells: [
          html`<a href=${`/quizzes/${one.quiz}`}>${one.name}</a>`, `${plain(one.percent, 1)} %`, `${plain(one.cut, 1)} %`, one.passed ? "passed" : "not passed"] }))} /></details>
        ${r.chart && html`<${ChartFigure} chart=${r.chart} caution=${r.caution} />`}`}
      <${Caution} text=${r.caution} />`}<//>
  </section>`;
}
