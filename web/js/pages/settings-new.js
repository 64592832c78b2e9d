// Changing the programme's settings, with what the change would mean beside it.
import { useEffect, useState } from "preact/hooks";
import { post } from "../lib/api.js";
import { html } from "../lib/html.js";
import { navigate } from "../lib/navigate.js";
import { counted } from "../lib/numbers.js";
import { ApiProblem } from "../lib/problem.js";
import { useResource } from "../lib/resource.js";
import { at, has } from "../lib/session.js";
import { settingsToSend } from "../model/settings.js";
import { asLines, FaultSummary } from "../parts/fault-summary.js";
import { LongField } from "../parts/field.js";
import { Page } from "../parts/page.js";
import { FollowUpPart, RolePart, SigningPart, SitesPart } from "../parts/settings-fields.js";
import { SettingsChanges, SettingsExamples } from "../parts/settings-words.js";
import { useAct } from "../parts/use-act.js";
import { useAtrium } from "../parts/use-atrium.js";
import { Empty, Show, Trouble } from "../parts/waiting.js";

export function NewSettingsPage() {
  const versions = useResource(has("director") ? at("/settings-versions") : null);
  const atrium = useAtrium();
  return html`<${Page} title="Change the settings" lead="Nothing holds until it is saved. What was signed before keeps what it was signed by." kind="wide">
    <p class="ways"><a href="/settings">What holds, and all versions</a></p>
    ${!has("director") ? html`<${Empty} says="Only a director of the programme changes its settings." />`
      : html`<${Show} of=${versions} what="the settings">${(/** @type {{items: Api.SettingsView[]}} */ { items }) => html`<${Show} of=${atrium} what="the words">${(/** @type {import("../model/atrium.js").Atrium} */ shape) => html`
        <${Changing} holds=${items[0]} atrium=${shape} onNewer=${versions.reload} />`}<//>`}<//>`}
  <//>`;
}

/** What the settings would mean, asked a moment after each change. @param {Api.Settings} settings @param {number} version of what holds */
function useMeaning(settings, version) {
  const body = JSON.stringify({ settings: settingsToSend(settings) }), wanted = `${version} ${body}`;
  const [state, setState] = useState(/** @type {{of: string, meaning?: Api.SettingsPreview, lines: {field: string, says: string}[], problem: unknown}} */ ({ of: "", lines: [], problem: null }));
  useEffect(() => {
    const abort = new AbortController();
    const timer = setTimeout(() => {
      /** @type {Promise<Api.SettingsPreview>} */ (post(at("/settings-preview"), JSON.parse(body), { signal: abort.signal })).then(
        meaning => setState({ of: wanted, meaning, lines: [], problem: null }),
        problem => {
          if (abort.signal.aborted) return;
          const lines = problem instanceof ApiProblem && problem.errors.length > 0 ? asLines(problem.byField("settings")) : [];
          setState(before => ({ of: wanted, meaning: before.meaning, lines, problem: lines.length > 0 ? null : problem }));
        },
      );
    }, 500);
    return () => { clearTimeout(timer); abort.abort(); };
  }, [wanted]);
  return { ...state, stale: state.of !== wanted };
}

/** @param {{holds: Api.SettingsView, atrium: import("../model/atrium.js").Atrium, onNewer: () => void}} props */
function Changing({ holds, atrium, onNewer }) {
  const [settings, setSettings] = useState(holds.settings);
  const [reason, setReason] = useState("");
  const sent = useAct("settings");
  const found = useMeaning(settings, holds.version);
  const faults = new Map([...found.lines, ...sent.lines].map(line => [line.field, line.says]));
  const part = { settings, faults, onChange: (/** @type {Partial<Api.Settings>} */ change) => setSettings(before => ({ ...before, ...change })) };
  const changes = found.meaning?.changes || [], stale = sent.problem instanceof ApiProblem && sent.problem.status === 412;
  const save = (/** @type {Event} */ event) => {
    event.preventDefault();
    if (sent.refuse([!reason.trim() && { field: "reason", says: "Say why, in a sentence: everyone in the programme can read it." }])) return;
    sent.act(`Version ${holds.version + 1} holds.`, async () => {
      await post(at("/settings-versions"), { after: holds.version, settings: settingsToSend(settings), reason: reason.trim() });
      navigate("/settings");
    });
  };
  return html`<form novalidate onSubmit=${save}>
    <${FaultSummary} faults=${sent.lines} title="This cannot be saved yet" />
    <div class="two settings-form">
      <div><${RolePart} ...${part} facts=${atrium.facts} /><${FollowUpPart} ...${part} /><${SigningPart} ...${part} /><${SitesPart} ...${part} />
        <${LongField} label="Why" name="reason" hint="Everyone in the programme can read it." maxlength=${600} value=${reason} fault=${faults.get("reason")} onValue=${setReason} /></div>
      <section aria-label="What it would mean"><h2>What it would mean</h2>
        ${found.problem && html`<${Trouble} problem=${found.problem} />`}
        ${found.lines.length > 0 && html`<ul class="found" role="status">${found.lines.map(line => html`<li class="fault">${line.says}</li>`)}</ul>`}
        ${found.meaning && found.lines.length === 0 && html`
          ${changes.length === 0 ? html`<p>Nothing differs from what holds yet.</p>` : html`<${SettingsChanges} changes=${changes} atrium=${atrium} label="What would change" />`}
          <${SettingsExamples} examples=${found.meaning.examples} />`}
      </section>
    </div>
    <div class="save-bar" role="group" aria-label="Saving">
      ${stale ? html`<div class="notice" role="alert"><p class="strong">Someone changed the settings meanwhile. Nothing was saved.</p>
          <div class="bar"><button type="button" class="quiet" onClick=${() => { sent.refuse([]); onNewer(); }}>Compare with what holds now</button></div></div>`
        : sent.problem && html`<${Trouble} problem=${sent.problem} />`}
      <div class="bar"><button type="submit" disabled=${sent.busy || found.stale || found.lines.length > 0 || changes.length === 0}>Save as version ${holds.version + 1}</button></div>
      <p class="small" role="status">${found.stale ? "The last changes are being read." : found.lines.length > 0 ? `${counted(found.lines.length, "fault")} to mend first.` : changes.length === 0 ? "Nothing would change." : `${counted(changes.length, "setting")} would change.`}</p>
    </div>
  </form>`;
}
