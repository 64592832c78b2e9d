// Beginning a scenario: with nothing but a title, or from a file.
import { useRef, useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { post } from "../lib/api.js";
import { html } from "../lib/html.js";
import { navigate } from "../lib/navigate.js";
import { ApiProblem } from "../lib/problem.js";
import { at, session } from "../lib/session.js";
import { uuid } from "../lib/uuid.js";
import { emptyScenario, idFrom, toSend } from "../model/scenario-draft.js";
import { TextField } from "../parts/field.js";
import { asLines, FaultSummary } from "../parts/fault-summary.js";
import { FileImport } from "../parts/file-import.js";
import { Page } from "../parts/page.js";
import { Trouble } from "../parts/waiting.js";

/** Creates the draft once, however often it is sent. @param {string} done */
function useCreation(done) {
  const key = useRef(uuid());
  const [state, setState] = useState(/** @type {{busy: boolean, problem: unknown}} */ ({ busy: false, problem: null }));
  const create = async (/** @type {unknown} */ body) => {
    setState({ busy: true, problem: null });
    try {
      const made = /** @type {Api.EditionDetail} */ (await post(at("/library"), body, { key: key.current }));
      announce(done);
      navigate(`/library/${encodeURIComponent(made.head.id)}`);
    } catch (problem) {
      if (problem instanceof ApiProblem && !problem.offline) key.current = uuid(); // what is corrected is another request
      setState({ busy: false, problem });
    }
  };
  return { ...state, create };
}

export function NewScenarioPage() {
  const [title, setTitle] = useState("");
  const [id, setId] = useState("");
  const { busy, problem, create } = useCreation("Draft begun.");
  const lines = problem instanceof ApiProblem && problem.errors.length > 0 ? asLines(problem.byField("scenario")) : [];
  const fault = (/** @type {string} */ field) => lines.filter(line => line.field === field).map(line => line.says).join(" ");
  const submit = (/** @type {Event} */ event) => {
    event.preventDefault();
    create({ scenario: toSend({ ...emptyScenario(session.value?.person.name), id: id || idFrom(title), title: title.trim() }) });
  };
  return html`<${Page} title="New scenario" lead="A fictional patient and the decisions a surgeon must make. Every patient is invented: nothing about a real one.">
    <form class="narrow-form" novalidate onSubmit=${submit}>
      <${FaultSummary} faults=${lines} title="This cannot be begun yet" />
      ${problem && lines.length === 0 && html`<${Trouble} problem=${problem} />`}
      <${TextField} label="Title" name="title" maxlength=${120} value=${title} fault=${fault("title")} onValue=${setTitle} />
      <${TextField} label="Id" name="id" maxlength=${80} hint="Lower-case words joined by hyphens. It names the scenario for ever, in files and addresses." value=${id || idFrom(title)}
        fault=${fault("id")} onValue=${setId} />
      <button type="submit" class="main-act" disabled=${busy || !title.trim()}>Begin the draft</button>
    </form>
    <p class="small">Or <a href="/library/import">import a file</a>.</p>
  <//>`;
}

export function ImportScenarioPage() {
  const { busy, problem, create } = useCreation("Imported as a draft.");
  return html`<${Page} title="Import a scenario" lead="A scenario file in YAML, as the library exports it. It becomes a draft, whatever it says of version and status.">
    <${FileImport} start="" confirm="Import as a draft" busy=${busy} problem=${problem} onGiven=${(/** @type {string} */ yaml) => create({ yaml })} />
  <//>`;
}
