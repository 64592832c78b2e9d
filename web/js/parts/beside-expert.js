// The way from a graded plan to an expert's: the comparison and its code come when it is opened, so that nobody sees the answer by chance.
import { useState } from "preact/hooks";
import { html } from "../lib/html.js";
import { Loading, Trouble } from "./waiting.js";

/** @param {{own: Api.PlanDetail, whose: string}} props own: a graded plan; whose: 'Your plan' or "Noor Eriksen's plan" */
export function BesideExpert({ own, whose }) {
  const [state, setState] = useState(/** @type {{open: boolean, part: any, problem: unknown}} */ ({ open: false, part: null, problem: null }));
  const bring = () => {
    import("./comparison.js").then(m => setState({ open: true, part: m.Comparison, problem: null }), problem => setState({ open: true, part: null, problem }));
  };
  const toggle = () => {
    setState(before => ({ ...before, open: !before.open }));
    if (!state.part) bring();
  };
  return html`<section class="beside" aria-labelledby="beside-title">
    <h2 id="beside-title">Beside an expert plan</h2>
    <p class="bar"><button type="button" class="quiet" aria-expanded=${state.open} onClick=${toggle}>${state.open ? "Close the comparison" : "Compare with an expert plan"}</button></p>
    ${state.open && state.problem && html`<${Trouble} problem=${state.problem} again=${bring} />`}
    ${state.open && !state.part && !state.problem && html`<${Loading} what="the comparison" />`}
    ${state.open && state.part && html`<${state.part} own=${own} whose=${whose} />`}
  </section>`;
}
