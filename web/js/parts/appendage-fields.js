// The left appendage: kept, excised or excluded, and how.
import { html } from "../lib/html.js";
import { Ladder } from "./choices.js";
import { CheckField, SelectField } from "./field.js";

/**
 * @param {{atrium: import("../model/atrium.js").Atrium, appendage: Api.Appendage, thrombus?: boolean, faults: Map<string, string>, onChange: (change: Partial<Api.Appendage>) => void, planning?: boolean, children?: unknown}} props
 * planning: a plan also says how a clot and the closure are dealt with; children: what a case adds
 */
export function AppendageFields({ atrium, appendage, faults, onChange, planning = false, children }) {
  const { appendage_states: states, appendage_methods: methods } = atrium.facts;
  const treated = appendage.state !== "kept";
  return html`
    <${Ladder} legend="Left appendage" name="left_appendage.state" value=${appendage.state} options=${states}
      fault=${faults.get("left_appendage.state") || faults.get("left_appendage")}
      onValue=${(/** @type {string} */ state) => onChange({ state })} />
    ${treated && html`
      <${SelectField} label="Method" name="left_appendage.method" value=${appendage.method || ""} options=${methods} choose="Choose a method"
        fault=${faults.get("left_appendage.method")}
        onValue=${(/** @type {string} */ method) => onChange({ method })} />
      ${planning && html`
        <${CheckField} label="Clear any clot before handling it" value=${Boolean(appendage.clot_first)}
          onValue=${(/** @type {boolean} */ clot_first) => onChange({ clot_first })} />
        <${CheckField} label="Judge the closure by echo" value=${Boolean(appendage.flow_check)}
          onValue=${(/** @type {boolean} */ flow_check) => onChange({ flow_check })} />`}
      ${children}`}`;
}
