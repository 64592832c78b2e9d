// The same operation in other trainees' cases: joined by a person, and steps that two claim alone shown to who supervised.
import { useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { post, remove } from "../lib/api.js";
import { html } from "../lib/html.js";
import { word } from "../lib/words.js";
import { stepName } from "./case-fields.js";
import { Trouble } from "./waiting.js";

/** @param {{detail: Api.CaseDetail, path: string, atrium: import("../model/atrium.js").Atrium, onDone: (detail: Api.CaseDetail) => void}} props */
export function SharedCases({ detail, path, atrium, onDone }) {
  const [state, setState] = useState(/** @type {{busy: boolean, problem: unknown}} */ ({ busy: false, problem: null }));
  const shared = detail.shared;
  if (!shared) return null;
  const act = (/** @type {() => Promise<any>} */ ask, /** @type {string} */ said) => async () => {
    setState({ busy: true, problem: null });
    try {
      onDone(await ask());
      announce(said);
      setState({ busy: false, problem: null });
    } catch (problem) {
      setState({ busy: false, problem });
    }
  };
  const join = (/** @type {Api.SharedCase} */ other) => act(() => post(`${path}/group`, { with: other.case }), `Joined with the case of ${other.trainee_name}.`);
  return html`<section aria-label="The same operation">
    <h2>The same operation</h2>
    ${shared.overlaps.length > 0 && html`<div class="notice"><p class="strong">Claimed alone by more than one trainee</p>
      <ul>${shared.overlaps.map(one => html`<li>${stepName(atrium, one.step)}: ${one.cases.length} cases</li>`)}</ul>
      <p>Both cannot be right. Ask, and correct the steps in the sign-off.</p></div>`}
    ${shared.members.length > 0 && html`<p>Also logged by ${names(shared.members)}.</p>`}
    ${shared.suggestions.map(other => html`<p>${other.trainee_name} has a case with the same date, site, operation and supervisor (${word(other.status)}).
      <button type="button" class="quiet" disabled=${state.busy} onClick=${join(other)}>It is the same operation</button></p>`)}
    ${shared.group && shared.may_join && html`<button type="button" class="quiet" disabled=${state.busy} onClick=${act(() => remove(`${path}/group`), "Taken out of the group.")}>It is another operation: take it out</button>`}
    ${state.problem && html`<${Trouble} problem=${state.problem} />`}
  </section>`;
}

/** @param {Api.SharedCase[]} members */
const names = members => members.map(one => one.trainee_name).join(" and ");
