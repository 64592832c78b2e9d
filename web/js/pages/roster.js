// A roster file: what it would do, every mistake with its place, and doing it.
import { useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { post } from "../lib/api.js";
import { inBase64 } from "../lib/file.js";
import { html } from "../lib/html.js";
import { counted } from "../lib/numbers.js";
import { at } from "../lib/session.js";
import { listed } from "../lib/words.js";
import { termWords } from "../model/terms.js";
import { Page } from "../parts/page.js";
import { Loading, Trouble } from "../parts/waiting.js";

const does = /** @type {Record<string, string>} */ ({ invite: "is invited", give: "gets the role", nothing: "nothing" });

export function RosterPage() {
  const [file, setFile] = useState("");
  const [report, setReport] = useState(/** @type {Api.RosterReport | null} */ (null));
  const [state, setState] = useState(/** @type {{busy: boolean, problem: unknown}} */ ({ busy: false, problem: null }));
  const ask = async (/** @type {string} */ path, /** @type {string} */ content) => {
    setState({ busy: true, problem: null });
    try {
      const seen = /** @type {Api.RosterReport} */ (await post(at(path), { file: content }));
      setReport(seen);
      announce(seen.done ? "Imported." : `${counted(seen.people.length, "person", "people")} read, ${counted(seen.faults.length, "mistake")}.`);
      setState({ busy: false, problem: null });
    } catch (problem) {
      setState({ busy: false, problem });
    }
  };
  const choose = async (/** @type {any} */ event) => {
    const chosen = event.target.files[0];
    if (!chosen) return;
    const content = await inBase64(chosen);
    setFile(content);
    setReport(null);
    ask("/roster/check", content);
  };
  const acts = report?.people.filter(line => line.does !== "nothing").length ?? 0;
  return html`<${Page} title="Import a roster" lead="People and roles from a OneRoster 1.2 archive: manifest.csv, orgs.csv, users.csv and roles.csv in one zip file. Nobody loses a role by a file.">
    <div class="field"><label for="roster-file">Archive</label><input id="roster-file" type="file" accept=".zip,application/zip" onChange=${choose} /></div>
    ${state.busy && html`<${Loading} what="the roster" />`}
    ${state.problem && html`<${Trouble} problem=${state.problem} />`}
    ${report && report.faults.length > 0 && html`<h2>Mistakes (${report.faults.length})</h2><p>Nothing of the file is imported while it has mistakes.</p>
      <div class="scroll" tabindex="0" role="region" aria-label="Mistakes"><table><thead><tr><th scope="col">File</th><th scope="col">Line</th><th scope="col">Column</th><th scope="col">What is wrong</th></tr></thead>
      <tbody>${report.faults.map(one => html`<tr><th scope="row">${one.file}</th><td>${one.line || ""}</td><td>${one.column || ""}</td><td>${one.message}</td></tr>`)}</tbody></table></div>`}
    ${report && report.people.length > 0 && html`<${Lines} report=${report} />`}
    ${report && !report.done && report.faults.length === 0 && (acts > 0
      ? html`<button type="button" class="main-act" disabled=${state.busy} onClick=${() => ask("/roster", file)}>Import: ${counted(acts, "person", "people")} to add</button>` : html`<p>There is nothing to do.</p>`)}
    <p><a href="/people">All people</a></p>
  <//>`;
}

/** @param {{report: Api.RosterReport}} props */
const Lines = ({ report }) => html`<h2>${report.done ? "Done" : "What the file would do"}</h2>
  ${report.done && report.people.some(line => line.link) && html`<p class="notice">The links are shown only once, nothing is sent: pass each on yourself.</p>`}
  <div class="scroll" tabindex="0" role="region" aria-label="People of the file"><table><thead><tr><th scope="col">Line</th><th scope="col">Person</th><th scope="col">What becomes of them</th>${report.done && html`<th scope="col">Link</th>`}</tr></thead>
    <tbody>${report.people.map(line => html`<tr key=${line.line}><td>${line.line}</td><th scope="row">${line.name}<br /><small>${line.email}</small></th>
      <td>${line.does === "nothing" ? `nothing: ${line.says}` : `${does[line.does]}: ${listed(line.roles.map(termWords))}`}</td>
      ${report.done && html`<td>${line.link && html`<code class="secret">${new URL(line.link, location.href).href}</code>`}</td>`}</tr>`)}</tbody></table></div>`;
