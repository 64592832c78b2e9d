// A standard in plain words: its lines, what differs between two versions, and what it would mean for today's trainees.
import { html } from "../lib/html.js";
import { Word } from "../lib/words.js";

/** Says of a standard labelled as an example what it is. */
export const ExampleNote = () => html`<p class="caution">Example: the programme sets its own numbers.</p>`;

/** @param {{lines: Api.StandardLine[], label?: string}} props */
export const StandardLines = ({ lines, label = "In plain words" }) => html`<ol class="standard-lines" aria-label=${label}>${lines.map(line => html`<li key=${line.requirement}><span class="strong">${Word(line.requirement)}.</span> ${line.says || "Not complete yet."}</li>`)}</ol>`;

/** @type {Record<string, string>} */
const how = { added: "New", gone: "No longer asked", changed: "Changed" };

/** @param {{changes: Api.StandardChange[], label: string}} props */
export const StandardChanges = ({ changes, label }) => html`<ul class="settings-changes" aria-label=${label}>${changes.map(change => html`<li key=${change.requirement}>
  <p class="strong">${how[change.change]}: ${Word(change.requirement)}</p>
  ${change.change === "changed" ? html`<dl><dt>Before</dt><dd>${change.before}</dd><dt>After</dt><dd>${change.after}</dd></dl>` : html`<p>${change.after || change.before}</p>`}</li>`)}</ul>`;

const states = ["ready", "met", "not-enough-data", "on-course", "short", "lapsed"];

/** @param {{effect: Api.StandardEffect}} props */
export function StandardEffect({ effect }) {
  const n = (/** @type {Api.StateCount[]} */ counts, /** @type {string} */ state) => counts.find(one => one.state === state)?.n || 0;
  const seen = states.filter(state => n(effect.now, state) + n(effect.then, state) > 0);
  const lineStates = states.slice(1).filter(state => effect.lines.some(line => n(line.then, state) > 0));
  return html`<p>${effect.says}</p>
    ${effect.n > 0 && html`<div class="scroll" tabindex="0" role="region" aria-label="Trainees by state"><table class="examples"><caption>Trainees by state, n = ${effect.n}</caption>
      <thead><tr><th scope="col">State</th><th scope="col">Now</th><th scope="col">By this standard</th></tr></thead>
      <tbody>${seen.map(state => html`<tr key=${state}><th scope="row">${state === "ready" ? "Ready for committee review" : Word(state)}</th><td>${effect.now.length > 0 ? n(effect.now, state) : "none yet"}</td><td>${n(effect.then, state)}</td></tr>`)}</tbody></table></div>
    <p class="small">A trainee who is not ready stands where the requirement stands that asks most.</p>
    <div class="scroll" tabindex="0" role="region" aria-label="Trainees by requirement"><table class="examples"><caption>By requirement, n = ${effect.n}</caption>
      <thead><tr><th scope="col">Requirement</th>${lineStates.map(state => html`<th scope="col" key=${state}>${Word(state)}</th>`)}</tr></thead>
      <tbody>${effect.lines.map(line => html`<tr key=${line.requirement}><th scope="row">${Word(line.requirement)}</th>${lineStates.map(state => html`<td key=${state}>${n(line.then, state)}</td>`)}</tr>`)}</tbody></table></div>`}`;
}
