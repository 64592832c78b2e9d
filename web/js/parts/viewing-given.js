// On a reviewer's page, for the director: what they may see and until when, choosing it anew, and what they read.
import { useState } from "preact/hooks";
import { put } from "../lib/api.js";
import { dayWords, timeWords } from "../lib/days.js";
import { html } from "../lib/html.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { capital } from "../lib/words.js";
import { viewingWords } from "../model/viewing.js";
import { FaultSummary } from "./fault-summary.js";
import { TextField } from "./field.js";
import { useAct } from "./use-act.js";
import { ViewingForm } from "./viewing-form.js";
import { Show, Trouble } from "./waiting.js";

/** @param {{person: string, given: Api.Viewing, reload: () => void}} props */
export function ViewingGiven({ person, given, reload }) {
  const path = at(`/members/${encodeURIComponent(person)}`), doing = useAct(), read = useResource(`${path}/readings`);
  const [choice, setChoice] = useState({ trainees: given.trainees.map(one => one.id), figures: given.figures || "" }), [until, setUntil] = useState(given.until || "");
  const save = (/** @type {Event} */ event) => {
    event.preventDefault();
    doing.act("Chosen. It holds from now on.", async () => { await put(`${path}/viewing`, { ...choice, figures: choice.figures || undefined, until }); reload(); });
  };
  return html`<h2>What the reviewer may see</h2>
    <p>${given.ended ? "Nothing today." : `${capital(viewingWords(given))}, until ${dayWords(given.until || "")}.`}</p>
    <details class="as-table"><summary>Choose anew</summary><form class="narrow-form" novalidate onSubmit=${save}>
      <${FaultSummary} faults=${doing.lines} title="Before it is chosen" />
      ${doing.problem && html`<${Trouble} problem=${doing.problem} />`}
      <${ViewingForm} value=${choice} fault=${doing.fault} onValue=${setChoice} />
      <${TextField} label="Last day (at most 90 days off)" name="until" type="date" value=${until} fault=${doing.fault("until")} onValue=${setUntil} />
      <button type="submit" disabled=${doing.busy}>Choose</button></form></details>
    <h2>What the reviewer read</h2>
    <${Show} of=${read} what="what was read">${(/** @type {Api.Page<Api.Reading>} */ list) => (list.items.length === 0 ? html`<p>Nothing yet.</p>` : html`<ul class="rows">${list.items.map(one => html`<li class="row">
      <span class="row-main">${one.trainee ? `${nameOf(one.object)} of ${one.trainee.name}` : "Figures of the cohort"}<small>${timeWords(one.at)}</small></span>
      ${(one.object === "case" || one.object === "plan") && html`<a href=${`/${one.object}s/${one.id}`}>Open<span class="unseen"> the ${one.object} of ${one.trainee?.name}</span></a>`}</li>`)}</ul>`)}<//>`;
}

/** @param {string} object */
const nameOf = object => ({ "case": "A case", "plan": "A graded plan", "standing": "Standing", "growth": "Growth", "follow-up": "Follow-up of a case" })[object] || object;
