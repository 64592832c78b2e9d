// The foot of the case form: what the program computes so far, whether the draft is saved, and the acts, always within reach of the thumb.
import { html } from "../lib/html.js";
import { ApiProblem } from "../lib/problem.js";
import { word } from "../lib/words.js";

/** @type {Record<string, string>} */
const savedWords = {
  new: "", changed: "Not saved yet", saving: "Saving", saved: "Draft saved", kept: "Kept on this device: sent when the network is back", offline: "No connection: kept on this page until it is back", failed: "Not saved: it is tried again",
  refused: "Not saved", stale: "Changed elsewhere: choose which one to keep",
};

/** Scope, circuits and role in one line. @param {Api.CasePreview | undefined} preview @param {unknown} problem */
function inShort(preview, problem) {
  if (problem || !preview) return "";
  const { scope, circuits_left: left, role } = preview.computed;
  return `${word(scope) === "none" ? "No scope yet" : word(scope)}, ${left === 0 ? "no circuit left" : left === 1 ? "1 circuit left" : `${left} circuits left`}, ${word(role) || "role not known yet"}`;
}

/** Why the last save was refused, in the server's words. @param {unknown} problem */
const why = problem => (problem instanceof ApiProblem && problem.errors.length > 0 ? `: ${problem.errors[0].message}` : "");

/** @param {{preview?: Api.CasePreview, problem: unknown, form: ReturnType<typeof import("./use-case-saving.js").useCaseSaving>}} props */
export const CaseBar = ({ preview, problem, form }) => html`<div class="entry-bar">
  <p class="small entry-short">${inShort(preview, problem)}</p>
  <p class="small entry-saved" role="status">${savedWords[form.saving.kind]}${form.saving.kind === "refused" && why(form.saving.problem)}</p>
  <div class="bar">
    <button type="submit" class="main-act" disabled=${form.busy}>Submit for sign-off</button>
    <button type="button" class="quiet" disabled=${form.busy} onClick=${form.saveDraft}>Save and close</button>
  </div>
</div>`;
