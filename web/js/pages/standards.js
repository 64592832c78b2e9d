// The programme's standards: every version, and a new one for the director.
import { useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { post } from "../lib/api.js";
import { html } from "../lib/html.js";
import { dayWords, today } from "../lib/days.js";
import { navigate } from "../lib/navigate.js";
import { ApiProblem } from "../lib/problem.js";
import { useResource } from "../lib/resource.js";
import { at, has } from "../lib/session.js";
import { Caution } from "../parts/caution.js";
import { LongField, TextField } from "../parts/field.js";
import { asLines, FaultSummary } from "../parts/fault-summary.js";
import { List } from "../parts/list.js";
import { Page } from "../parts/page.js";
import { Row } from "../parts/row.js";
import { Empty, Show, Trouble } from "../parts/waiting.js";

export function StandardsPage() {
  return html`<${Page} title="Standards" lead="The programme's thresholds for independence. A version in force never changes.">
    ${has("director") && html`<div class="bar"><a class="button" href="/standards/new">Add a version</a></div>`}
    <${List} path=${at("/standards")} what="the standards" empty=${html`<${Empty} says="No standard yet: nobody has a standing until the director adds one." />`}>
      ${(/** @type {Api.StandardItem[]} */ items) => html`<ul class="rows">${items.map(item => html`<li
        key=${item.version}><${Row} to=${`/standards/${item.version}`} name=${item.title} detail=${`version ${item.version}`}
        after=${`${item.in_force_from > today() ? "in force from" : "since"} ${dayWords(item.in_force_from)}`} /></li>`)}</ul>`}
    <//>
  <//>`;
}

/** @param {{params: Record<string, string>}} props */
export function StandardPage({ params }) {
  const standard = useResource(at(`/standards/${encodeURIComponent(params.version)}`));
  const read = /** @type {Api.Standard | undefined} */ (standard.data);
  return html`<${Page} title=${read?.title || "Standard"} lead=${read && `Version ${read.version}, in force from ${dayWords(read.in_force_from)}`}>
    <${Show} of=${standard} what="the standard">${(/** @type {Api.Standard} */ shown) => html`
      <pre class="yaml" tabindex="0" aria-label="The standard as YAML">${shown.yaml}</pre>
      <${Caution} />
      ${has("director") && html`<p><a href=${`/standards/new?from=${shown.version}`}>Write a new version from this one</a></p>`}`}<//>
  <//>`;
}

/** @param {{query: URLSearchParams}} props */
export function NewStandardPage({ query }) {
  const from = query.get("from");
  const before = useResource(from ? at(`/standards/${encodeURIComponent(from)}`) : null);
  return html`<${Page} title="New version of the standard" lead="It is checked as a whole: every fault is shown with its line.">
    ${from ? html`<${Show} of=${before} what="the earlier version">${(/** @type {Api.Standard} */ shown) => html`<${StandardForm} start=${shown.yaml} />`}<//>` : html`<${StandardForm} start="" />`}
  <//>`;
}

/** A fault inside the YAML names its place there, and leads to the one field that holds it all. @param {{field: string, says: string}} line */
const placed = ({ field, says }) => (field === "in_force_from" ? { field, says } : { field: "yaml", says: field ? `${field}: ${says}` : says });

/** @param {{start: string}} props */
function StandardForm({ start }) {
  const [yaml, setYaml] = useState(start);
  const [day, setDay] = useState(today());
  const [state, setState] = useState(/** @type {{busy: boolean, lines: {field: string, says: string}[], problem: unknown}} */ ({ busy: false, lines: [], problem: null }));
  const submit = async (/** @type {Event} */ event) => {
    event.preventDefault();
    setState({ busy: true, lines: [], problem: null });
    try {
      const added = /** @type {Api.StandardItem} */ (await post(at("/standards"), { yaml, in_force_from: day }));
      announce("Standard added.");
      navigate(`/standards/${added.version}`);
    } catch (error) {
      const lines = error instanceof ApiProblem && error.errors.length > 0 ? asLines(error.byField("yaml")).map(placed) : [];
      setState({ busy: false, lines, problem: lines.length > 0 ? null : error });
    }
  };
  const fault = (/** @type {string} */ field) => state.lines.filter(line => line.field === field).map(line => line.says).join(" ");
  return html`<form novalidate onSubmit=${submit}>
    <${FaultSummary} faults=${state.lines} title="This standard has faults" />
    ${state.problem && html`<${Trouble} problem=${state.problem} />`}
    <${TextField} label="In force from" name="in_force_from" type="date" value=${day} fault=${fault("in_force_from")} onValue=${setDay} />
    <div class="yaml-entry"><${LongField} label="Standard as YAML" name="yaml" rows=${24} maxlength=${200000} value=${yaml}
      fault=${fault("yaml") && "See the faults listed above."} onValue=${setYaml} /></div>
    <button type="submit" class="main-act" disabled=${state.busy}>Add this version</button>
  </form>`;
}
