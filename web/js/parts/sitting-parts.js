// What a test shows besides the plan: the time left with the state of saving, and how it ended.
import { clockWords, timeWords } from "../lib/days.js";
import { html } from "../lib/html.js";
import { ApiProblem, inWords } from "../lib/problem.js";
import { leftWords } from "../model/countdown.js";
import { Caution } from "./caution.js";

/** @typedef {import("../model/autosave.js").SaveState} SaveState */

/** How the saving stands, in words. @param {SaveState} state */
export function saveWords({ kind, at, problem }) {
  const saved = at ? `Saved at ${clockWords(at)}` : "Nothing saved yet";
  switch (kind) {
    case "new": return "Nothing saved yet. The plan saves itself.";
    case "changed": return `${saved}, changed since`;
    case "saving": return `${saved}, saving now`;
    case "offline": return `No connection. Kept on this device, sent when the connection is back. ${saved}.`;
    case "failed": return `Not saved: ${inWords(problem).title.toLowerCase()}. It is tried again. ${saved}.`;
    case "refused": return `Not saved: ${refusal(problem)} ${saved}.`;
    case "stale": return "Not saved: choose which version to keep.";
    default: return saved;
  }
}

/** @param {unknown} problem */
const refusal = problem => (problem instanceof ApiProblem && problem.errors.length > 0 ? `${[...problem.byField("plan")].map(([field, says]) => `${field.replaceAll("_", " ")}: ${says}`).join("; ")}.` : `${inWords(problem).next}`);

/** @param {{left?: number, state: SaveState}} props left: ms, nothing where no time is set */
export const SittingLine = ({ left, state }) => html`<div class="sitting-line">
  <p><span class="strong" role="timer" aria-live="off">${left === undefined ? "No time limit" : `${leftWords(left)} left`}</span></p>
  <p class=${`small saving ${state.kind}`}>${saveWords(state)}</p>
</div>`;

/** @param {{state: SaveState}} props */
export const TimeUp = ({ state }) => html`<section class="notice" role="alert">
  <p class="strong">The time is up.</p>
  <p>${state.at ? `What was saved at ${clockWords(state.at)} is being graded.` : "What had been saved by then is being graded."} This takes some seconds; the page goes on by itself.</p>
</section>`;

/** How a test ended. @param {{sitting: Api.Sitting, own: boolean}} props */
export function SittingEnd({ sitting, own }) {
  const { status, saved_at: saved, closed_at: closed, plan_id: plan, faults = [] } = sitting;
  const practise = own && html`<a class="button quiet" href=${`/scenarios/${encodeURIComponent(sitting.scenario_id)}`}>Practise this scenario</a>`;
  return html`<section class="sitting-end" aria-label="How the test ended">
    <p>${status === "submitted" ? `Submitted ${timeWords(closed)}.` : `The time was up ${timeWords(closed)}. ${saved ? `What had been saved at ${clockWords(saved)} was graded.` : ""}`}</p>
    ${plan ? html`<div class="bar"><a class="button" href=${`/plans/${plan}`}>See the grade</a>${practise}</div>` : html`
      <p class="strong">${saved ? "What had been saved is no whole plan, so it has no grade." : "Nothing had been saved, so there is no grade."}</p>
      ${saved && faults.length > 0 && html`<ul>${faults.map(({ field, message }) => html`<li>${field ? `${field.replaceAll("_", " ")} ` : ""}${message}</li>`)}</ul>`}
      <div class="bar">${practise}</div>`}
    <${Caution} text=${sitting.caution} />
  </section>`;
}
