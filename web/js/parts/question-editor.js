// Writing a question: its words, its answer by kind, why it is right, how a trainee sees it, and handing it to review.
import { useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { post } from "../lib/api.js";
import { html } from "../lib/html.js";
import { counted, percent } from "../lib/numbers.js";
import { TopicWords } from "../model/quiz.js";
import { difficulties, faultLines, hasOptions, kinds, rulesOf, withKind } from "../model/question-draft.js";
import { goTo } from "./fault-summary.js";
import { CheckField, LongField, SelectField, TextField } from "./field.js";
import { NumberPart, OptionsPart } from "./question-answer.js";
import { QuestionConflict } from "./question-differences.js";
import { QuestionReading } from "./question-reading.js";
import { MapPart } from "./question-task.js";
import { Ask } from "./quiz-question.js";
import { ReasonAct } from "./reason-act.js";
import { useQuestion, useQuestionCheck } from "./use-question.js";
import { Trouble } from "./waiting.js";

/** @param {{detail: Api.QuestionDetail, heads: Api.QuestionHead[], onDone: (detail: Api.QuestionDetail) => void}} props */
export function QuestionEditor({ detail, heads, onDone }) {
  const writing = useQuestion(detail, () => {});
  const { item, act, replace } = writing;
  const check = useQuestionCheck(item, detail);
  const lines = faultLines(check.faults);
  const fault = (/** @type {string} */ field) => lines.filter(one => one.field === field).map(one => one.says.slice(one.says.indexOf(": ") + 2)).join("; ") || undefined;
  const part = { item, act, replace, fault };
  const topics = [...new Set(heads.filter(head => head.live_version > 0).map(head => head.topic))].sort();
  const notWith = item.not_with || [], keepApart = (/** @type {string[]} */ ids) => act({ not_with: ids.length > 0 ? ids : undefined });
  return html`
    ${writing.theirs && html`<${QuestionConflict} key=${writing.theirs.head.revision} mine=${item} theirs=${writing.theirs} base=${writing.saved} busy=${writing.busy} onChosen=${writing.take} />`}
    <${Found} lines=${lines} stale=${check.stale} problem=${check.problem} />
    <div class="form-columns question-form">
      <div>
        <${LongField} label="Question" name="stem" rows=${4} value=${item.stem} fault=${item.stem ? fault("stem") : undefined} onValue=${(/** @type {string} */ stem) => act({ stem })} />
        <${Twins} twins=${check.twins} apart=${notWith} onApart=${(/** @type {string} */ id) => keepApart([...notWith, id])} />
        <${SelectField} label="Kind" name="kind" value=${item.kind} options=${kinds} onValue=${(/** @type {Api.QuestionKind} */ kind) => replace(withKind(item, kind))} />
        ${hasOptions(item.kind) && html`<${OptionsPart} ...${part} />`}
        ${item.kind === "numeric" && html`<${NumberPart} ...${part} />`}
        ${item.kind === "map" && html`<${MapPart} ...${part} />`}
      </div>
      <div>
        <${Topic} item=${item} topics=${topics} fault=${item.topic ? fault("topic") : undefined} onTopic=${(/** @type {string} */ topic) => act({ topic })} />
        <${SelectField} label="Difficulty, as you take it" name="difficulty" value=${item.difficulty} options=${difficulties} onValue=${(/** @type {string} */ difficulty) => act({ difficulty })} />
        ${rulesOf(item.kind).length > 1 && html`<${SelectField} label="Marking" name="rule" value=${item.rule || ""} options=${rulesOf(item.kind)} onValue=${(/** @type {string} */ rule) => act({ rule: rule || undefined })} />`}
        ${hasOptions(item.kind) && item.kind !== "ordering" && html`<${CheckField} label="Show the options as written, for example rising numbers" value=${Boolean(item.keep_order)} onValue=${(/** @type {boolean} */ keep) => act({ keep_order: keep || undefined })} />`}
        <${LongField} label="Why it is right" name="rationale" rows=${4} value=${item.rationale} fault=${item.rationale ? fault("rationale") : undefined} onValue=${(/** @type {string} */ rationale) => act({ rationale })} />
        <${TextField} label="Source of the fact" name="source" maxlength=${300} hint="A paper with year and number, or: common practice, no source. A fact from memory is not asked." value=${item.source}
          fault=${item.source ? fault("source") : undefined} onValue=${(/** @type {string} */ source) => act({ source })} />
        <${NotWith} item=${item} heads=${heads} fault=${fault("not_with")} onIDs=${keepApart} />
      </div>
      <div class="beside">
        <${Preview} shown=${check.shown} stale=${check.stale} />
        <details class="answered"><summary>With its answer, as it is told afterwards</summary><${QuestionReading} item=${item} /></details>
      </div>
    </div>
    <${Handing} writing=${writing} check=${check} may=${detail.head.may} onDone=${onDone} />`;
}

/** One of the topics there are, or another. @param {{item: Api.QuestionText, topics: string[], fault?: string, onTopic: (topic: string) => void}} props */
function Topic({ item, topics, fault, onTopic }) {
  const [other, setOther] = useState(item.topic !== "" && !topics.includes(item.topic));
  return html`<${SelectField} label="Topic" name="topic" value=${other ? "other" : item.topic} choose="Choose" options=${[...topics.map(id => ({ id, name: TopicWords(id) })), { id: "other", name: "Another" }]}
      onValue=${(/** @type {string} */ id) => { setOther(id === "other"); onTopic(id === "other" ? "" : id); }} />
    ${other && html`<${TextField} label="Name of the topic" name="topic-name" maxlength=${80} hint="Lower-case words joined by hyphens." value=${item.topic} fault=${fault} onValue=${onTopic} />`}`;
}

/** The questions never asked in one form with this one. @param {{item: Api.QuestionText, heads: Api.QuestionHead[], fault?: string, onIDs: (ids: string[]) => void}} props */
function NotWith({ item, heads, fault, onIDs }) {
  const ids = item.not_with || [], stem = (/** @type {string} */ id) => heads.find(head => head.id === id)?.stem || id;
  const others = heads.filter(head => head.topic === item.topic && head.id !== item.id && head.status !== "retired" && !ids.includes(head.id));
  return html`<fieldset class="checks" data-field="not_with"><legend>Never in one form with</legend>
    <p class="hint">Questions that give this one away, or the other way round.</p>
    ${fault && html`<p class="fault">${fault}</p>`}
    ${ids.length > 0 && html`<ul class="apart">${ids.map(id => html`<li key=${id}><span>${stem(id)}</span><button type="button" class="quiet" aria-label=${`Remove: ${stem(id)}`} onClick=${() => onIDs(ids.filter(one => one !== id))}>Remove</button></li>`)}</ul>`}
    ${others.length > 0 && ids.length < mostApart && html`<${SelectField} label="Keep apart from" value="" choose="Choose one of its topic" options=${others.map(head => ({ id: head.id, name: head.stem || head.id }))} onValue=${(/** @type {string} */ id) => { if (id) onIDs([...ids, id]); }} />`}
  </fieldset>`;
}

/** The most questions one may be kept apart from. */
const mostApart = 20;

/** @param {{twins: Api.QuestionTwin[], apart: string[], onApart: (id: string) => void}} props */
const Twins = ({ twins, apart, onApart }) => (twins.length === 0 ? null : html`<div class="notice" role="status"><p class="strong">Much like ${twins.length === 1 ? "another question" : "other questions"}</p>
  <ul>${twins.map(one => html`<li><a href=${`/questions/${encodeURIComponent(one.item)}?view=read`}>${one.stem}</a> <span class="small">(${percent(one.alike)} alike)</span>
    ${apart.includes(one.item) ? html`<small>Never asked in one form with it.</small>` : html`<button type="button" class="quiet small-act" onClick=${() => onApart(one.item)}>Never in one form with it</button>`}</li>`)}</ul></div>`);

/** What is wrong, each line leading to its field. It never takes the focus. @param {{lines: {field: string, says: string}[], stale: boolean, problem: unknown}} props */
function Found({ lines, stale, problem }) {
  if (problem) return html`<${Trouble} problem=${problem} />`;
  if (lines.length === 0) return html`<p class="found" role="status"><span class="strong">No fault.</span> ${stale ? "The last changes are being checked." : "Its answer is marked right, and the wrong ones it names are not."}</p>`;
  return html`<details class="found fault-summary" open=${lines.length <= 6}><summary><span class="strong">${counted(lines.length, "fault")} to mend before review</span>${stale && html` <span class="small">being checked again</span>`}</summary>
    <ul>${lines.map(({ field, says }) => html`<li><a href=${`#${field}`} onClick=${(/** @type {Event} */ event) => { event.preventDefault(); goTo(field); }}>${says}</a></li>`)}</ul></details>`;
}

/** @param {{shown?: Api.QuizQuestion, stale: boolean}} props */
export function Preview({ shown, stale }) {
  const [given, setGiven] = useState(/** @type {Api.QuizGiven} */ ({}));
  return html`<section class="as-trainee" aria-labelledby="as-trainee"><h2 class="first"><span id="as-trainee">As a trainee sees it</span>${stale && shown && html`<span class="small">, before the last changes</span>`}</h2>
    ${shown ? html`<div class="quiz-question"><${Ask} key=${`${shown.kind} ${(shown.choices || []).length}`} question=${shown} given=${given} onGiven=${setGiven} /></div>` : html`<p class="small">Once it is finished.</p>`}</section>`;
}

/** @param {{writing: ReturnType<typeof useQuestion>, check: ReturnType<typeof useQuestionCheck>, may: string[], onDone: (detail: Api.QuestionDetail) => void}} props */
function Handing({ writing, check, may, onDone }) {
  const [state, setState] = useState(/** @type {{busy: boolean, problem: unknown}} */ ({ busy: false, problem: null }));
  const send = async (/** @type {string} */ act, /** @type {unknown} */ body, /** @type {string} */ done) => {
    const revision = writing.dirty ? await writing.save() : writing.revision;
    if (revision === undefined) return;
    setState({ busy: true, problem: null });
    try {
      const after = /** @type {Api.QuestionDetail} */ (await post(`${writing.path}/${act}`, body, { revision }));
      announce(done);
      onDone(after);
    } catch (problem) { setState({ busy: false, problem }); }
  };
  const wait = writing.theirs ? "Choose between the two versions first." : check.stale ? "The last changes are being checked." : check.faults.length > 0 ? `${counted(check.faults.length, "fault")} to mend first.` : "";
  const said = writing.problem || state.problem;
  return html`${may.includes("retire") && html`<div class="drop"><${ReasonAct} name="Drop this draft" label="Why it is dropped" confirm="Drop it" busy=${state.busy}
      onGiven=${(/** @type {string} */ reason, /** @type {Api.Override[]} */ overrides) => send("retire", { reason, overrides }, "Dropped.")} /></div>`}
    <div class="save-bar" role="group" aria-label="Saving">
      ${said && html`<${Trouble} problem=${said} />`}
      <div class="bar"><button type="button" disabled=${writing.busy || !writing.dirty || Boolean(writing.theirs)} onClick=${writing.save}>Save</button>
        <button type="button" class="quiet" disabled=${writing.busy || state.busy || Boolean(wait)} aria-describedby="submit-wait" onClick=${() => send("submit", undefined, "Submitted for review.")}>Submit for review</button></div>
      <p class="small" role="status">${writing.busy ? "Saving." : writing.dirty ? "Not saved yet; it saves itself when you pause." : "Saved."} <span id="submit-wait">${wait}</span></p>
    </div>`;
}
