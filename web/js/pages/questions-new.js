// Beginning a question, and taking a file of questions into the bank.
import { useRef, useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { post } from "../lib/api.js";
import { inBase64 } from "../lib/file.js";
import { html } from "../lib/html.js";
import { navigate } from "../lib/navigate.js";
import { counted, percent } from "../lib/numbers.js";
import { ApiProblem } from "../lib/problem.js";
import { at, session } from "../lib/session.js";
import { uuid } from "../lib/uuid.js";
import { emptyQuestion, fieldInWords, kindName } from "../model/question-draft.js";
import { TopicWords } from "../model/quiz.js";
import { idFrom } from "../model/scenario-draft.js";
import { CheckField, TextField } from "../parts/field.js";
import { Page } from "../parts/page.js";
import { Trouble } from "../parts/waiting.js";

export function NewQuestionPage() {
  const [name, setName] = useState("");
  const [state, setState] = useState(/** @type {{busy: boolean, problem: unknown}} */ ({ busy: false, problem: null }));
  const key = useRef(uuid()), id = idFrom(name);
  const begin = async (/** @type {Event} */ event) => {
    event.preventDefault();
    setState({ busy: true, problem: null });
    try {
      const made = /** @type {Api.QuestionDetail} */ (await post(at("/questions"), { item: emptyQuestion(id, session.value?.person.name || "") }, { key: key.current }));
      announce("Draft begun.");
      navigate(`/questions/${encodeURIComponent(made.head.id)}`);
    } catch (problem) {
      if (problem instanceof ApiProblem && !problem.offline) key.current = uuid();
      setState({ busy: false, problem });
    }
  };
  const taken = state.problem instanceof ApiProblem && state.problem.status === 409;
  return html`<${Page} title="New question" lead="Nothing about a real patient. It is a draft until another member of faculty has reviewed it.">
    <form class="narrow-form" novalidate onSubmit=${begin}>
      ${state.problem && !taken && html`<${Trouble} problem=${state.problem} />`}
      <${TextField} label="A short name" name="name" maxlength=${80} hint=${id ? `It is called ${id} for ever, in files and addresses.` : "A few words that say what it asks."} value=${name} fault=${taken ? "The bank has a question of this name." : undefined} onValue=${setName} />
      <button type="submit" class="main-act" disabled=${state.busy || !id}>Begin the draft</button>
    </form>
    <p class="small">Or <a href="/questions/import">import a file</a>.</p>
  <//>`;
}

/** The largest file, in bytes. */
const most = 20 * 2 ** 20;

/** @type {Record<string, string>} */
const becomes = { new: "A new draft", revision: "A draft of its next version", same: "Nothing: the bank has it", refused: "Refused" };

export function ImportQuestionsPage() {
  const [file, setFile] = useState(/** @type {{data: string, name: string} | null} */ (null));
  const [revise, setRevise] = useState(false);
  const [check, setCheck] = useState(/** @type {Api.QuestionImportCheck | null} */ (null));
  const [done, setDone] = useState(/** @type {Api.QuestionImportCheck | null} */ (null));
  const [busy, setBusy] = useState("");
  const [problem, setProblem] = useState(/** @type {unknown} */ (null));
  const key = useRef(uuid());
  const run = async (/** @type {string} */ says, /** @type {() => Promise<void>} */ act) => {
    setBusy(says);
    setProblem(null);
    try { await act(); } catch (error) { setProblem(error); }
    setBusy("");
  };
  const look = (/** @type {{data: string, name: string}} */ one, /** @type {boolean} */ asRevisions) => run("Checking the file.", async () => {
    key.current = uuid(); // what is changed is another request
    const found = /** @type {Api.QuestionImportCheck} */ (await post(at("/question-import-check"), { file: one.data, name: one.name, revise: asRevisions }));
    setCheck(found);
    announce(`${counted(found.faults.length, "fault")}, ${counted(found.rows.length, "question")} without one.`);
  });
  const choose = (/** @type {any} */ event) => run("Reading the file.", async () => {
    const chosen = event.target.files?.[0];
    if (!chosen) return;
    setCheck(null);
    setDone(null);
    if (chosen.size > most) throw new ApiProblem(413, { title: "The file is larger than 20 MB", detail: "Split it." });
    const one = { data: await inBase64(chosen), name: chosen.name };
    setFile(one);
    await look(one, revise);
  });
  const commit = () => run("Importing.", async () => {
    if (!file) return;
    setDone(/** @type {Api.QuestionImportCheck} */ (await post(at("/question-imports"), { file: file.data, name: file.name, revise }, { key: key.current })));
    setCheck(null);
    setFile(null);
    announce("Imported.");
  });
  return html`<${Page} title="Import questions" lead="A QTI 3.0 package, a CSV table or YAML: all of it or nothing. Whatever the file says, its questions are drafts of yours, and another member of faculty reviews them." kind="wide">
    <p class="ways"><a href="/questions">Questions</a></p>
    <label class="file-choice"><span>Choose a file (at most 20 MB)</span><input type="file" accept=".zip,.xml,.csv,.yaml,.yml" disabled=${busy !== ""} onChange=${choose} /></label>
    <${CheckField} label="A question the bank has already becomes a draft of its next version" value=${revise} onValue=${(/** @type {boolean} */ on) => { setRevise(on); if (file) look(file, on); }} />
    <p role="status">${busy}</p>
    ${problem && html`<${Trouble} problem=${problem} />`}
    ${done && html`<p class="strong">${counted(done.new + done.revisions, "draft")} ${done.new + done.revisions === 1 ? "is" : "are"} in the bank. <a href="/questions">Read them</a>, and submit each for review.</p>`}
    ${check && html`<${Checked} check=${check} busy=${busy !== ""} onCommit=${commit} />`}
  <//>`;
}

/** @param {{check: Api.QuestionImportCheck, busy: boolean, onCommit: () => void}} props */
function Checked({ check, busy, onCommit }) {
  const { faults, rows, notes } = check, count = check.new + check.revisions;
  return html`<section aria-label="What was found">
    <h2>${check.format}: ${counted(rows.length, "question")}${faults.length === 0 ? ", no fault" : ` and ${counted(faults.length, "fault")}`}</h2>
    ${faults.length > 0 && html`<p>Nothing can be imported until they are mended in the file.</p><${Places} caption="Faults" places=${faults} />`}
    ${check.refused > 0 && html`<p class="fault">${counted(check.refused, "question")} ${check.refused === 1 ? "is" : "are"} refused: see below.</p>`}
    ${notes.length > 0 && html`<details><summary>What the file does not give and was filled in (${notes.length})</summary><${Places} caption="Filled in" places=${notes} /></details>`}
    ${rows.length > 0 && html`<div class="scroll" tabindex="0" role="region" aria-label="Questions of the file"><table><caption>Questions of the file</caption>
      <thead><tr><th scope="col">Question</th><th scope="col">Becomes</th><th scope="col">Much like</th></tr></thead>
      <tbody>${rows.map(row => html`<tr key=${row.id}><th scope="row">${row.stem}<small class="line">${row.id}; ${TopicWords(row.topic)}; ${kindName(row.kind)}</small></th>
        <td>${becomes[row.becomes]}${row.why && html`<small class="line">${row.why}</small>`}</td>
        <td>${row.twins.length === 0 ? "none" : row.twins.map(twin => html`<${Twin} twin=${twin} />`)}</td></tr>`)}</tbody></table></div>`}
    ${count > 0 && html`<button type="button" class="main-act" disabled=${busy || faults.length > 0 || check.refused > 0} onClick=${onCommit}>Import ${counted(count, "question")}</button>`}
  </section>`;
}

/** @param {{caption: string, places: Api.FileFault[]}} props */
const Places = ({ caption, places }) => html`<div class="scroll" tabindex="0" role="region" aria-label=${caption}><table><caption>${caption}</caption><thead><tr><th scope="col">Place</th><th scope="col">What</th></tr></thead>
  <tbody>${places.map(one => html`<tr><th scope="row">${one.file}${one.line ? `, line ${one.line}` : ""}${one.column ? `, column ${one.column}` : ""}</th><td>${one.field && `${fieldInWords(one.field)}: `}${one.message}</td></tr>`)}</tbody></table></div>`;

/** A question much like another; one that only the file has leads nowhere yet. @param {{twin: Api.QuestionTwin}} props */
const Twin = ({ twin: { item, stem, alike, in_file } }) => (in_file ? html`<span class="line">${stem} (${percent(alike)}; also in this file)</span>`
  : html`<a class="line" href=${`/questions/${encodeURIComponent(item)}?view=read`}>${stem} (${percent(alike)})</a>`);
