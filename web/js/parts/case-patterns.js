// One's own operation patterns: to begin a case from, and to keep the present one as.
import { useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { post, put, remove } from "../lib/api.js";
import { html } from "../lib/html.js";
import { ApiProblem } from "../lib/problem.js";
import { at } from "../lib/session.js";
import { fromPattern, toSend } from "../model/case-record.js";
import { TextField } from "./field.js";
import { Trouble } from "./waiting.js";

/** @typedef {import("../lib/resource.js").Resource<{items: Api.CasePattern[]}>} Patterns */

/**
 * The first thing in the form of a new case: one tap begins from a pattern, and one more takes that back.
 * @param {{patterns: Patterns, record: Api.CaseRecord, settings: Api.Settings, faculty: Api.Person[], onRecord: (record: Api.CaseRecord) => void}} props
 */
export function BeginFrom({ patterns, record, settings, faculty, onRecord }) {
  const [begun, setBegun] = useState(/** @type {{id: string, before: Api.CaseRecord} | null} */ (null));
  const items = patterns.data?.items || [];
  if (items.length === 0) return null;
  const take = (/** @type {Api.CasePattern} */ one) => {
    onRecord(fromPattern(record, one.record, settings.sites, faculty.map(person => person.id)));
    setBegun({ id: one.id, before: record });
    announce(`Filled in from ${one.name}. Date, AF, diameter, events and note stay as they were.`);
  };
  const back = () => { if (begun) onRecord(begun.before); setBegun(null); announce("As it was before."); };
  return html`<section class="begin-from" aria-label="Your patterns">
    <div class="presets quick" role="group" aria-label="Begin from a pattern of yours">
      <p class="quick-label">Begin from a pattern of yours</p>
      ${items.map(one => html`<button type="button" class="quiet" key=${one.id} aria-pressed=${begun?.id === one.id} onClick=${() => take(one)}>${one.name}</button>`)}
      ${begun && html`<button type="button" class="quiet" onClick=${back}>Take it back</button>`}
    </div>
  </section>`;
}

/**
 * Keeping the present case as a pattern, and renaming or deleting one: all of it needs the network.
 * @param {{patterns: Patterns, record: Api.CaseRecord}} props
 */
export function KeepPattern({ patterns, record }) {
  const [name, setName] = useState("");
  const { busy, fault, problem, act } = useAct(patterns.reload);
  const items = patterns.data?.items || [];
  const again = items.some(one => one.name === name.trim());
  const save = () => act(() => post(at("/case-patterns"), { name, record: toSend(record) }), `Saved as ${name.trim()}.`).then(done => { if (done) setName(""); });
  return html`<details class="adjust"><summary>Save this as a pattern, or change your patterns</summary>
    <p class="hint">A pattern keeps how you operate: supervisor, site, operation, lesions, appendage and who performed each step. It keeps nothing of a patient: no date, no AF history, no diameter, no events and no note.</p>
    <${TextField} label="Name of the pattern" name="pattern" maxlength=${60} value=${name} fault=${fault} onValue=${setName} />
    <div class="bar"><button type="button" class="quiet" disabled=${busy || !name.trim()} onClick=${save}>${again ? "Save in its place" : "Save as a pattern"}</button></div>
    ${problem && html`<${Trouble} problem=${problem} />`}
    ${items.length > 0 && html`<ul class="rows" aria-label="Your patterns">${items.map(one => html`<${PatternRow} key=${one.id} pattern=${one} reload=${patterns.reload} />`)}</ul>`}
  </details>`;
}

/** @param {{pattern: Api.CasePattern, reload: () => void}} props */
function PatternRow({ pattern, reload }) {
  const [doing, setDoing] = useState(/** @type {"" | "rename" | "delete"} */ (""));
  const [name, setName] = useState(pattern.name);
  const { busy, fault, problem, act } = useAct(reload);
  const path = at(`/case-patterns/${pattern.id}`);
  const rename = () => act(() => put(path, { name }), `Renamed to ${name.trim()}.`).then(done => { if (done) setDoing(""); });
  const cancel = html`<button type="button" class="quiet" onClick=${() => setDoing("")}>Cancel</button>`;
  return html`<li class="pattern-row">
    ${doing === "" && html`<span class="pattern-name">${pattern.name}</span><span class="bar"><button type="button" class="quiet" aria-label=${`Rename ${pattern.name}`} onClick=${() => setDoing("rename")}>Rename</button>
      <button type="button" class="quiet" aria-label=${`Delete ${pattern.name}`} onClick=${() => setDoing("delete")}>Delete</button></span>`}
    ${doing === "rename" && html`<${TextField} label=${`New name of ${pattern.name}`} maxlength=${60} value=${name} fault=${fault} onValue=${setName} />
      <div class="bar"><button type="button" disabled=${busy || !name.trim()} onClick=${rename}>Rename it</button>${cancel}</div>`}
    ${doing === "delete" && html`<p>Delete ${pattern.name}? Cases that began from it stay as they are.</p>
      <div class="bar"><button type="button" disabled=${busy} onClick=${() => act(() => remove(path), `Deleted ${pattern.name}.`)}>Delete it</button>${cancel}</div>`}
    ${problem && html`<${Trouble} problem=${problem} />`}
  </li>`;
}

/** One act after another, with what the server said of a name beside its field. @param {() => void} reload */
function useAct(reload) {
  const [state, setState] = useState(/** @type {{busy: boolean, fault: string, problem: unknown}} */ ({ busy: false, fault: "", problem: null }));
  const act = async (/** @type {() => Promise<unknown>} */ call, /** @type {string} */ done) => {
    setState({ busy: true, fault: "", problem: null });
    try {
      await call();
      setState({ busy: false, fault: "", problem: null });
      announce(done);
      reload();
      return true;
    } catch (error) {
      const fault = error instanceof ApiProblem ? error.byField("").get("name") || "" : "";
      setState({ busy: false, fault, problem: fault ? null : error });
      return false;
    }
  };
  return { ...state, act };
}
