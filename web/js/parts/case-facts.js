// A case's record and what the program computes from it.
import { html } from "../lib/html.js";
import { dayWords } from "../lib/days.js";
import { counted } from "../lib/numbers.js";
import { capital, listed, named, word } from "../lib/words.js";

/** @param {{record: Api.CaseRecord, facts: Api.Atrium, supervisor?: string}} props */
export function RecordFacts({ record, facts, supervisor }) {
  const af = record.af;
  const months = af.continuous_months > 0 ? `${counted(af.continuous_months, "month")} without a break` : `longest episode ${counted(af.longest_episode_days, "day")}`;
  return html`<dl class="facts">
    <dt>Operated on</dt><dd>${dayWords(record.operated_on)}</dd>
    <dt>Site</dt><dd>${record.site}</dd>
    ${supervisor && html`<dt>Supervisor</dt><dd>${supervisor}</dd>`}
    <dt>Operation</dt><dd>${named(facts.operations, record.operation)}</dd>
    <dt>Approach</dt><dd>${[named(facts.approaches, record.approach), named(facts.urgencies, record.urgency)].join(", ")}</dd>
    <dt>On bypass</dt><dd>${record.on_bypass ? "yes" : "no"}</dd>
    <dt>Left atrium opened</dt><dd>${record.left_atrium_opened ? "yes" : "no"}</dd>
    <dt>Left atrium</dt><dd>${named(facts.left_atrium_bands, record.left_atrium_band)}</dd>
    <dt>AF</dt><dd>${months}, ${word(af.ends)}${af.rhythm_control_pursued ? "" : ", rhythm control given up"}</dd>
    <dt>Events to 30 days</dt><dd>${listed(record.events.map(event => named(facts.events, event))) || "none"}</dd>
  </dl>`;
}

/** @param {{computed: Api.Computed}} props */
export const ComputedFacts = ({ computed }) => html`<dl class="facts">
  <dt>AF pattern</dt><dd>${word(computed.pattern) || "not known yet"}</dd>
  <dt>Scope</dt><dd>${word(computed.scope)}, ${word(computed.policy)}</dd>
  <dt>Circuits left</dt><dd>${computed.circuits_left === 0 ? "none of 78 mm or more" : `${computed.circuits_left} of 78 mm or more`}</dd>
  <dt>Lines</dt><dd>${computed.lines_complete ? "complete" : "open line ends"}</dd>
  <dt>Block</dt><dd>${computed.block_tested ? "tested at every vein isolation" : "not tested at every vein isolation"}</dd>
  <dt>Role</dt><dd>${word(computed.role) || "not known yet"}</dd>
</dl>
<p class="small">${capital(computed.role_reason)}</p>`;
