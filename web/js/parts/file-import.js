// A scenario file chosen or pasted, with every fault at its line.
import { useRef, useState } from "preact/hooks";
import { html } from "../lib/html.js";
import { ApiProblem } from "../lib/problem.js";
import { numbered } from "../model/file-lines.js";
import { LongField } from "./field.js";
import { useCheck } from "./use-check.js";
import { Trouble } from "./waiting.js";

/** The largest file the check reads, in bytes. */
const most = 1 << 20;

/** @param {{start: string, confirm: string, busy: boolean, problem?: unknown, onGiven: (yaml: string) => void}} props */
export function FileImport({ start, confirm, busy, problem, onGiven }) {
  const [yaml, setYaml] = useState(start);
  const [tooLarge, setTooLarge] = useState(false);
  const box = useRef(/** @type {HTMLElement | null} */ (null));
  const check = useCheck(yaml.trim() ? { yaml } : null);
  const read = async (/** @type {any} */ event) => {
    const file = event.target.files?.[0];
    if (!file) return;
    setTooLarge(file.size > most);
    if (file.size <= most) setYaml(await file.text());
  };
  const faults = check.result?.faults || [];
  const refused = problem instanceof ApiProblem ? problem.errors.map(one => one.message) : [];
  return html`<div class="file-import" ref=${box}>
    <label class="file-choice"><span>Choose a file</span><input type="file" accept=".yaml,.yml,text/yaml,text/plain" onChange=${read} /></label>
    ${tooLarge && html`<p class="fault">The file is larger than 1 MB: that is no scenario.</p>`}
    <div class="yaml-entry"><${LongField} label="Or paste it" name="yaml" rows=${18} maxlength=${most} value=${yaml} onValue=${setYaml} /></div>
    ${refused.length > 0 ? html`<div class="fault-summary" role="alert"><p class="strong">It was refused</p><ul>${refused.map(says => html`<li>${says}</li>`)}</ul></div>` : problem && html`<${Trouble} problem=${problem} />`}
    ${check.problem && html`<${Trouble} problem=${check.problem} />`}
    <div role="status">${yaml.trim() && check.result && (faults.length === 0 ? html`<p class="strong">No fault: it can go to review as it is.</p>`
      : html`<p class="strong">${faults.length === 1 ? "1 fault" : `${faults.length} faults`}. A draft may be unfinished, but what the program cannot read is refused.</p>`)}</div>
    ${faults.length > 0 && html`<${NumberedFile} yaml=${check.of?.yaml || yaml} faults=${faults} onGo=${(/** @type {Api.CheckFault} */ fault) => goTo(box.current, yaml, fault)} />`}
    <button type="button" class="main-act" disabled=${busy || !yaml.trim()} onClick=${() => onGiven(yaml)}>${confirm}</button>
  </div>`;
}

/** The lines about each fault, with their numbers and the fault below its line. @param {{yaml: string, faults: Api.CheckFault[], onGo?: (fault: Api.CheckFault) => void}} props */
export const NumberedFile = ({ yaml, faults, onGo }) => html`<ol class="file-lines" aria-label="Faults at their lines">
  ${numbered(yaml, faults).map(line => html`<li>
    ${line.number > 0 && html`<code><span class="line-number">${line.number}</span>${line.text || " "}</code>`}
    ${line.faults.map(fault => html`<p class="fault">${place(fault)}${fault.message}${onGo && line.number > 0 && html` <button type="button" class="quiet small-act" aria-label=${`Go to line ${line.number}: ${fault.message}`}
      onClick=${() => onGo(fault)}>Go there</button>`}</p>`)}
  </li>`)}
</ol>`;

/** @param {Api.CheckFault} fault */
const place = ({ line, column, field }) => [line ? `Line ${line}, column ${column || 1}: ` : "", field ? `${field}: ` : ""].join("");

/** Puts the cursor where the fault is. @param {HTMLElement | null} box @param {string} yaml @param {Api.CheckFault} fault */
function goTo(box, yaml, { line = 1, column = 1 }) {
  const area = box?.querySelector("textarea");
  if (!area) return;
  const lines = yaml.split("\n"), start = lines.slice(0, line - 1).reduce((sum, one) => sum + one.length + 1, 0) + column - 1;
  area.focus();
  area.setSelectionRange(start, Math.max(start, lines.slice(0, line).reduce((sum, one) => sum + one.length + 1, 0) - 1));
  area.scrollTop = Math.max(0, line - 4) * (area.scrollHeight / Math.max(lines.length, 1));
}
