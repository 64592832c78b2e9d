// What another scope policy changes: the answers of the live scenarios graded under it and under the one in force, a part at a time.
import { useEffect, useRef, useState } from "preact/hooks";
import { post } from "../lib/api.js";
import { html } from "../lib/html.js";
import { counted, plain } from "../lib/numbers.js";
import { at } from "../lib/session.js";
import { letterChanges } from "../model/policy.js";
import { Caution } from "./caution.js";
import { Trouble } from "./waiting.js";

/** @param {{policy: Api.ScopePolicy, faults: number}} props */
export function PolicyPreview({ policy, faults }) {
  const [state, setState] = useState(/** @type {{of: string, parts: Api.PolicyPreview[], busy: boolean, problem: unknown}} */ ({ of: "", parts: [], busy: false, problem: null }));
  const running = useRef(0);
  const wanted = JSON.stringify(policy);
  useEffect(() => () => { running.current++; }, []); // who leaves the page asks for no more of it
  const start = async () => {
    const run = ++running.current;
    /** @type {Api.PolicyPreview[]} */
    let parts = [];
    setState({ of: wanted, parts, busy: true, problem: null });
    try {
      for (let after = ""; run === running.current;) {
        const part = /** @type {Api.PolicyPreview} */ (await post(at("/scope-policies/preview"), { policy: JSON.parse(wanted), ...(after ? { after } : {}) }));
        parts = [...parts, part];
        after = part.next || "";
        setState({ of: wanted, parts, busy: Boolean(after), problem: null });
        if (!after) break;
      }
    } catch (problem) {
      setState({ of: wanted, parts, busy: false, problem });
    }
  };
  const stop = () => { running.current++; setState(before => ({ ...before, busy: false })); };
  return html`<p class="hint">Every expert and flawed plan of the live scenarios is graded under this policy and under the one in force. It can take a minute; nothing is kept.</p>
    <div class="bar">${state.busy ? html`<button type="button" class="quiet" onClick=${stop}>Stop</button>` : html`<button type="button" disabled=${faults > 0} onClick=${start}>Preview what changes</button>`}</div>
    ${faults > 0 && html`<p>Mend the ${counted(faults, "fault")} first.</p>`}
    ${state.problem && html`<${Trouble} problem=${state.problem} again=${start} />`}
    ${state.parts.length > 0 && html`<${Outcome} parts=${state.parts} stale=${state.of !== wanted} busy=${state.busy} />`}`;
}

/** @param {{parts: Api.PolicyPreview[], stale: boolean, busy: boolean}} props */
function Outcome({ parts, stale, busy }) {
  const last = parts[parts.length - 1], graded = parts.reduce((sum, part) => sum + part.graded, 0);
  const all = letterChanges(parts), letters = all.filter(one => one.before.letter !== one.after.letter);
  const experts = letters.filter(one => one.kind === "expert").length;
  const how = busy ? `${last.done} of ${last.of} scenarios compared` : last.next ? `Stopped after ${last.done} of ${last.of} scenarios` : `All ${last.of} scenarios compared`;
  const what = letters.length === 0 ? "no letter changes" : `${counted(letters.length, "letter")} of ${graded} ${letters.length === 1 ? "changes" : "change"}`;
  return html`<p class="strong" role="status" aria-live="polite">${`${how}: ${what}${experts > 0 ? `, ${experts} of them of an expert's plan` : ""}.`}</p>
    ${stale && html`<p>The policy has been changed since: preview it again.</p>`}
    ${all.length > 0 && html`<div class="scroll" tabindex="0" role="region" aria-label="What changes"><table class="preview-table"><caption>Against ${last.in_force} ${last.in_force_version}, in force today</caption>
      <thead><tr><th scope="col">Scenario</th><th scope="col">Answer</th><th scope="col">Should get</th><th scope="col">In force</th><th scope="col">Under this one</th></tr></thead>
      <tbody>${all.map(one => html`<tr key=${`${one.scenario} ${one.answer}`}><th scope="row"><a href=${`/library/${encodeURIComponent(one.scenario)}`}>${one.title}</a></th><td>${one.answer}<small>${one.kind === "expert" ? "expert plan" : "flawed plan"}</small></td>
        <td>${one.kind === "expert" ? `${one.wanted} or better` : one.wanted}</td><td>${one.before.letter}<small>${plain(one.before.score, 2)} of 100</small></td>
        <td class=${one.before.letter === one.after.letter ? "" : "strong"}>${one.after.letter}<small>${plain(one.after.score, 2)} of 100</small></td></tr>`)}</tbody></table></div>`}
    <${Caution} text=${last.caution} />`;
}
