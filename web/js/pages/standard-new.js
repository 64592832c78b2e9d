// Writing the next version of the standard, as a form or as its text, with what is wrong and what it would mean beside it.
import { useState } from "preact/hooks";
import { post } from "../lib/api.js";
import { today } from "../lib/days.js";
import { html } from "../lib/html.js";
import { navigate } from "../lib/navigate.js";
import { counted } from "../lib/numbers.js";
import { useResource } from "../lib/resource.js";
import { at, has } from "../lib/session.js";
import { capital } from "../lib/words.js";
import { asVersion, blank, faultAt, placeWords } from "../model/standard.js";
import { Caution } from "../parts/caution.js";
import { goTo } from "../parts/fault-summary.js";
import { CheckField, LongField, NumberField, TextField } from "../parts/field.js";
import { Page } from "../parts/page.js";
import { RequirementCards } from "../parts/requirement-cards.js";
import { ExampleNote, StandardChanges, StandardEffect, StandardLines } from "../parts/standard-words.js";
import { Tabs } from "../parts/tabs.js";
import { useAct } from "../parts/use-act.js";
import { useAtrium } from "../parts/use-atrium.js";
import { useStandard } from "../parts/use-standard.js";
import { Empty, Show, Trouble } from "../parts/waiting.js";

/** @param {{query: URLSearchParams}} props from: a version, or "example" */
export function NewStandardPage({ query }) {
  const from = query.get("from") || "";
  const director = has("director");
  const list = useResource(director ? at("/standards") : null);
  const before = useResource(!director || !from ? null : from === "example" ? "/standard-example" : at(`/standards/${encodeURIComponent(from)}`));
  const kinds = useResource(director ? "/standard-kinds" : null);
  const atrium = useAtrium();
  return html`<${Page} title="New version of the standard" lead="Nothing counts until it is added. Who is in training keeps the version they joined under." kind="wide">
    ${!director ? html`<${Empty} says="Only a director of the programme writes its standard." />` : html`
      <${Show} of=${list} what="the versions">${(/** @type {{items: Api.StandardItem[]}} */ { items }) => html`
        <p class="ways">${!from && items[0] && html`<a href=${`/standards/new?from=${items[0].version}`}>Begin with version ${items[0].version}</a>`}${from !== "example" && html`<a href="/standards/new?from=example">Begin with the example</a>`}${from && html`<a href="/standards/new">Begin with nothing</a>`}<a href="/standards">All versions</a></p>
        <${Show} of=${kinds} what="the kinds of requirement">${(/** @type {{items: Api.RequirementKind[]}} */ table) => html`<${Show} of=${atrium} what="the words">${(/** @type {import("../model/atrium.js").Atrium} */ shape) => {
          const latest = Math.max(0, ...items.map(one => one.version));
          const part = { kinds: table.items, facts: shape.facts, latest };
          return from ? html`<${Show} of=${before} what="the text to begin with">${(/** @type {{yaml: string}} */ { yaml }) => html`<${Writing} key=${from} ...${part} start=${asVersion(yaml, latest + 1)} />`}<//>` : html`<${Writing} key="nothing" ...${part} start=${blank(latest + 1)} />`;
        }}<//>`}<//>`}<//>`}
  <//>`;
}

const tabs = [{ id: "form", name: "Form" }, { id: "text", name: "Text (YAML)" }];

/** @param {{kinds: Api.RequirementKind[], facts: Api.Atrium, latest: number, start: string}} props */
function Writing({ kinds, facts, latest, start }) {
  const [day, setDay] = useState(today());
  const [tab, setTab] = useState("form");
  const draft = useStandard(start, day);
  const sent = useAct("yaml");
  const { standard, check, faults, stale } = draft;
  const put = (/** @type {Partial<Api.StandardText>} */ change) => draft.set(before => ({ ...before, ...change }));
  const go = (/** @type {Api.StandardFault} */ fault) => {
    if (tab === "text" && fault.line) selectLine(fault.line);
    else goTo(fault.field || "title");
  };
  const add = (/** @type {Event} */ event) => {
    event.preventDefault();
    sent.act("Version added.", async () => {
      const made = /** @type {Api.StandardItem} */ (await post(at("/standards"), { yaml: draft.yaml, in_force_from: day }));
      navigate(`/standards/${made.version}`);
    });
  };
  return html`<form novalidate onSubmit=${add}>
    <${Found} faults=${faults} standard=${standard} kinds=${kinds} stale=${stale} onGo=${go} />
    ${draft.problem && html`<${Trouble} problem=${draft.problem} />`}
    <div class="two standard-form"><div>
      <${TextField} label="In force from" name="in_force_from" type="date" hint="Who joins from that day on is judged by it." value=${day} fault=${faultAt(faults, "in_force_from")} onValue=${setDay} />
      <${Tabs} label="Ways to write it" tabs=${tabs} value=${tab} onValue=${setTab}>
        ${tab === "text" ? stale && draft.byForm ? html`<p role="status">Being written.</p>` : html`<div class="yaml-entry"><${LongField} label="Standard as YAML" name="yaml" rows=${26} maxlength=${200000} value=${draft.yaml} onValue=${draft.write} /></div>`
        : standard ? html`<${Head} standard=${standard} latest=${latest} faults=${faults} onChange=${put} />
          <${RequirementCards} requirements=${standard.requirements} kinds=${kinds} facts=${facts} faults=${faults} says=${(check?.lines || []).map(line => line.says)} onChange=${(/** @type {Api.Requirement[]} */ requirements) => put({ requirements })} />`
        : html`<p role="status">${stale ? "Being read." : "The text cannot be read as a standard yet: mend it there first."}</p>`}<//>
    </div>
    <section aria-label="What it would mean"><h2>What it would mean</h2>
      ${standard?.example && html`<${ExampleNote} />`}
      ${check && tab === "text" && check.lines.length > 0 && html`<h3>In plain words</h3><${StandardLines} lines=${check.lines} />`}
      ${check?.against && html`<h3>What differs from version ${check.against.version}, in force now</h3>
        ${check.changes.length > 0 ? html`<${StandardChanges} changes=${check.changes} label="What differs" />` : html`<p>Nothing yet.</p>`}`}
      ${check?.effect ? html`<h3>Today's trainees</h3><${StandardEffect} effect=${check.effect} />` : html`<p>How today's trainees would stand is told once there is no fault.</p>`}
      <${Caution} text=${check?.caution} />
    </section></div>
    <div class="save-bar" role="group" aria-label="Saving">
      ${sent.lines.map(line => html`<p class="fault" role="alert">${line.field}: ${line.says}</p>`)}${sent.problem && html`<${Trouble} problem=${sent.problem} />`}
      <div class="bar"><button type="submit" disabled=${sent.busy || stale || faults.length > 0 || Boolean(draft.problem)}>Add this version</button></div>
      <p class="small" role="status">${stale ? "The last changes are being checked." : faults.length > 0 ? `${counted(faults.length, "fault")} to mend first.` : "No fault. Once added it never changes."}</p>
    </div>
  </form>`;
}

/** @param {{standard: Api.StandardText, latest: number, faults: Api.StandardFault[], onChange: (change: Partial<Api.StandardText>) => void}} props */
const Head = ({ standard, latest, faults, onChange }) => html`<div class="policy-head">
  <${TextField} label="Title" name="title" maxlength=${200} value=${standard.title} fault=${faultAt(faults, "title")} onValue=${(/** @type {string} */ title) => onChange({ title })} />
  <${TextField} label="Id" name="id" hint="A standing names it beside the version." maxlength=${60} value=${standard.id} fault=${faultAt(faults, "id")} onValue=${(/** @type {string} */ id) => onChange({ id })} />
  <${NumberField} label="Version" name="version" min=${latest + 1} value=${standard.version} fault=${faultAt(faults, "version")} onValue=${(/** @type {number} */ version) => onChange({ version: Math.round(version) })} /></div>
  <${LongField} label="Note (may be left out)" name="note" rows=${2} value=${standard.note || ""} fault=${faultAt(faults, "note")} onValue=${(/** @type {string} */ note) => onChange({ note })} />
  <${CheckField} label="This is an example, to be replaced" name="example" value=${Boolean(standard.example)} onValue=${(/** @type {boolean} */ example) => onChange({ example })} />`;

/** Moves the cursor to a line of the text. @param {number} line */
function selectLine(line) {
  const text = /** @type {HTMLTextAreaElement | null} */ (document.querySelector("textarea[name=yaml]"));
  if (!text) return;
  const before = text.value.split("\n").slice(0, line - 1).join("\n").length + (line > 1 ? 1 : 0);
  const end = text.value.indexOf("\n", before);
  text.focus();
  text.setSelectionRange(before, end < 0 ? text.value.length : end);
}

/** @param {{faults: Api.StandardFault[], standard: Api.StandardText | null, kinds: Api.RequirementKind[], stale: boolean, onGo: (fault: Api.StandardFault) => void}} props */
function Found({ faults, standard, kinds, stale, onGo }) {
  if (faults.length === 0) return html`<p class="found" role="status"><span class="strong">${stale ? "Being checked." : "No fault."}</span></p>`;
  return html`<details class="found fault-summary" open><summary><span class="strong">${counted(faults.length, "fault")} to mend</span></summary>
    <ul>${faults.map(fault => html`<li><a href=${`#${fault.field}`} onClick=${(/** @type {Event} */ event) => { event.preventDefault(); onGo(fault); }}>${[capital(placeWords(fault, standard, kinds)), capital(fault.message)].filter(Boolean).join(": ")}</a></li>`)}</ul></details>`;
}
