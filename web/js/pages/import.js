// Importing a file of cases: choose it, say which column holds what, see what is wrong with it, import all of it or nothing, undo it.
import { useEffect, useRef, useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { get, post } from "../lib/api.js";
import { timeWords } from "../lib/days.js";
import { inBase64 } from "../lib/file.js";
import { html } from "../lib/html.js";
import { ApiProblem } from "../lib/problem.js";
import { at, has } from "../lib/session.js";
import { uuid } from "../lib/uuid.js";
import { CheckField, SelectField } from "../parts/field.js";
import { Page } from "../parts/page.js";
import { Loading, Trouble } from "../parts/waiting.js";

/** The largest file, in bytes. */
const most = 20 * 2 ** 20;

export function ImportPage() {
  const [file, setFile] = useState("");
  const [check, setCheck] = useState(/** @type {Api.ImportCheck | null} */ (null));
  const [submit, setSubmit] = useState(false);
  const [busy, setBusy] = useState("");
  const [problem, setProblem] = useState(/** @type {unknown} */ (null));
  const [turn, setTurn] = useState(0);
  const key = useRef(uuid());
  const run = async (/** @type {string} */ says, /** @type {() => Promise<void>} */ act) => {
    setBusy(says);
    setProblem(null);
    try { await act(); } catch (error) { setProblem(error); }
    setBusy("");
  };
  const look = (/** @type {string} */ data, /** @type {Record<string, string> | undefined} */ mapping, /** @type {boolean} */ asSubmitted) => run("Checking the file.", async () => {
    key.current = uuid(); // what is changed is another request
    const found = /** @type {Api.ImportCheck} */ (await post(at("/import-check"), { file: data, mapping, submit: asSubmitted }));
    setCheck(found);
    announce(found.faults.length ? `${found.faults.length} faults.` : `${found.rows} rows can be imported.`);
  });
  const choose = (/** @type {any} */ event) => run("Reading the file.", async () => {
    const chosen = event.target.files?.[0];
    if (!chosen) return;
    setCheck(null);
    if (chosen.size > most) throw new ApiProblem(413, { title: "The file is larger than 20 MB", detail: "Split it, or leave out what is not a case." });
    const data = await inBase64(chosen);
    setFile(data);
    await look(data, undefined, submit);
  });
  const commit = () => run("Handing the file in.", async () => {
    if (!check) return;
    await post(at("/imports"), { file, mapping: check.mapping, submit }, { key: key.current });
    announce("The import has begun.");
    setFile("");
    setCheck(null);
    setTurn(before => before + 1);
  });
  return html`<${Page} title="Import cases" lead=${has("coordinator") ? "A file of all trainees' cases. They come in as drafts, which each trainee reads and submits." : "A file of your own cases, all of it or nothing."}>
    <p class="ways"><a href=${`/api${at("/import-template")}?format=xlsx`} download="cases-template.xlsx">Template as XLSX</a>
      <a href=${`/api${at("/import-template")}?format=csv`} download="cases-template.csv">Template as CSV</a></p>
    <label class="file-choice"><span>Choose a file (XLSX, or CSV in UTF-8; at most 20 MB)</span><input type="file" accept=".csv,.xlsx,text/csv" disabled=${busy !== ""} onChange=${choose} /></label>
    <p role="status">${busy}</p>
    ${problem && html`<${Refusal} problem=${problem} />`}
    ${check && html`<${Checked} check=${check} busy=${busy !== ""} submit=${submit} own=${!has("coordinator")}
      onMapping=${(/** @type {Record<string, string>} */ mapping) => look(file, mapping, submit)} onCommit=${commit}
      onSubmit=${(/** @type {boolean} */ asSubmitted) => { setSubmit(asSubmitted); look(file, check.mapping, asSubmitted); }} />`}
    <${Imports} turn=${turn} />
  <//>`;
}

/** @param {{problem: unknown}} props */
function Refusal({ problem }) {
  const errors = problem instanceof ApiProblem ? problem.errors : [];
  if (errors.length === 0) return html`<${Trouble} problem=${problem} />`;
  return html`<div class="fault-summary" role="alert"><p class="strong">It was refused</p><ul>${errors.map(one => html`<li>${one.message}</li>`)}</ul></div>`;
}

/** @param {{check: Api.ImportCheck, busy: boolean, own: boolean, submit: boolean, onMapping: (mapping: Record<string, string>) => void, onSubmit: (submit: boolean) => void, onCommit: () => void}} props */
function Checked({ check, busy, own, submit, onMapping, onSubmit, onCommit }) {
  const { faults, likely } = check;
  const columns = check.header.filter(Boolean).map(name => ({ id: name, name }));
  const map = (/** @type {string} */ field, /** @type {string} */ column) => {
    const mapping = { ...check.mapping };
    if (column) mapping[field] = column; else delete mapping[field];
    onMapping(mapping);
  };
  return html`<section aria-label="What was found">
    <h2>${check.rows} ${check.rows === 1 ? "row" : "rows"}, ${faults.length === 0 ? "no fault" : `${faults.length} ${faults.length === 1 ? "fault" : "faults"}`}</h2>
    ${faults.length > 0 && html`<p>Nothing can be imported until they are mended in the file, or the columns below are put right.</p>
      <${Places} caption="Faults" places=${faults} />`}
    ${faults.length === 0 && likely.length > 0 && html`<p>${check.twice} ${check.twice === 1 ? "row looks" : "rows look"} like a case that is there already. That is no fault: look before you import.</p>
      <${Places} caption="Likely repetitions" places=${likely} />`}
    ${own && html`<${CheckField} label="Submit the cases at once; otherwise they come in as drafts" value=${submit} onValue=${onSubmit} />`}
    <details open=${Object.keys(check.mapping).length === 0}><summary>Which column holds what</summary>
      <p class="small">Kept for the programme when the import begins.</p>
      ${check.fields.map(field => html`<${SelectField} key=${field.id} label=${field.id} hint=${field.explains} name=${`map-${field.id}`} value=${check.mapping[field.id] || ""} options=${columns} choose="No column"
        onValue=${(/** @type {string} */ column) => map(field.id, column)} />`)}
    </details>
    <button type="button" class="main-act" disabled=${busy || faults.length > 0} onClick=${onCommit}>Import ${check.rows} ${check.rows === 1 ? "case" : "cases"}</button>
  </section>`;
}

/** @param {{caption: string, places: Api.ImportFault[]}} props */
const Places = ({ caption, places }) => html`<table><caption>${caption}</caption><thead><tr><th scope="col">Cell</th><th scope="col">What</th></tr></thead>
  <tbody>${places.map(one => html`<tr><th scope="row">${[one.sheet, one.cell].filter(Boolean).join(" ")}</th><td>${one.column && html`<span class="small">${one.column}: </span>`}${one.message}</td></tr>`)}</tbody></table>`;

/** How often a running import is looked at, in ms. */
const pace = 700;

/** The imports so far, a running one with its progress. @param {{turn: number}} props */
function Imports({ turn }) {
  const [list, setList] = useState(/** @type {Api.ImportItem[] | null} */ (null));
  const [problem, setProblem] = useState(/** @type {unknown} */ (null));
  const [again, setAgain] = useState(0);
  useEffect(() => {
    const abort = new AbortController();
    let timer = 0;
    const read = () => /** @type {Promise<Api.Page<Api.ImportItem>>} */ (get(at("/imports"), { signal: abort.signal })).then(page => {
      setList(page.items);
      if (page.items.some(one => one.state === "waiting")) timer = window.setTimeout(read, pace);
    }, error => { if (!abort.signal.aborted) setProblem(error); });
    read();
    return () => { abort.abort(); clearTimeout(timer); };
  }, [turn, again]);
  const undo = async (/** @type {Api.ImportItem} */ one) => {
    setProblem(null);
    try {
      await post(at(`/imports/${one.id}/undo`), undefined, { revision: one.revision });
      announce("The import is undone.");
    } catch (error) { setProblem(error); }
    setAgain(before => before + 1);
  };
  return html`<section aria-label="Imports so far"><h2>Imports so far</h2>
    ${problem && html`<${Trouble} problem=${problem} />`}
    ${list === null ? !problem && html`<${Loading} what="the imports" />` : list.length === 0 ? html`<p>None yet.</p>` : html`<ul class="plain-list">${list.map(one => html`<li key=${one.id}>
      <p><span class="strong">${says(one)}</span> ${timeWords(one.created_at)}, ${one.by_name}</p>
      ${one.state === "waiting" && html`<progress max=${one.total} value=${one.ready} aria-label=${`${one.ready} of ${one.total} rows`}></progress>`}
      ${one.may.includes("undo") && html`<button type="button" class="quiet" aria-label=${`Undo the import of ${one.total} cases`} onClick=${() => undo(one)}>Undo</button>`}
    </li>`)}</ul>`}
  </section>`;
}

/** @param {Api.ImportItem} one */
function says(one) {
  const cases = `${one.total} ${one.total === 1 ? "case" : "cases"}`;
  switch (one.state) {
    case "waiting": return `Importing ${cases}: ${one.ready} ready.`;
    case "done": return `${cases} imported ${one.submit ? "and submitted" : "as drafts"}.`;
    case "failed": return `Nothing imported: ${one.message}.`;
    default: return `Undone: ${cases}.`;
  }
}
