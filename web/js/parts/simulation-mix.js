// Who trains and on what, as a simulation is asked for: abilities, and kinds of operation.
import { html } from "../lib/html.js";
import { Word } from "../lib/words.js";
import { NumberField, SelectField, TextField } from "./field.js";
import { useAtrium } from "./use-atrium.js";

const patterns = ["paroxysmal", "persistent", "long-standing-persistent", "permanent"].map(id => ({ id, name: Word(id) }));

/** @param {{groups: Api.SimulatedGroup[], fault: (field: string) => string | undefined, onGroups: (groups: Api.SimulatedGroup[]) => void}} props */
export function SimulationGroups({ groups, fault, onGroups }) {
  const change = (/** @type {number} */ i, /** @type {Partial<Api.SimulatedGroup>} */ part) => onGroups(groups.map((group, n) => (n === i ? { ...group, ...part } : group)));
  const curve = (/** @type {number} */ i, /** @type {Partial<Api.SimulatedGroup["curve"]>} */ part) => change(i, { curve: { ...groups[i].curve, ...part } });
  return html`<fieldset class="group"><legend>True abilities</legend>
    <p class="hint">A failure is an operation that a fair assessor rates below every level the standard asks for.</p>
    ${groups.map((group, i) => { const at = `mix.groups[${i}]`; return html`<fieldset class="group" key=${i}><legend>Group ${i + 1}</legend><div class="form-columns">
      <${TextField} label="Name" name=${`${at}.name`} maxlength=${60} value=${group.name} fault=${fault(`${at}.name`)} onValue=${(/** @type {string} */ name) => change(i, { name })} />
      <${NumberField} label="Fails at first in" name=${`${at}.curve.start`} unit="%" max=${99} value=${group.curve.start} fault=${fault(`${at}.curve.start`)} onValue=${(/** @type {number} */ start) => curve(i, { start })} />
      <${NumberField} label="Fails in the end in" name=${`${at}.curve.end`} unit="%" max=${99} value=${group.curve.end} fault=${fault(`${at}.curve.end`)} onValue=${(/** @type {number} */ end) => curve(i, { end })} />
      <${NumberField} label="Half of the way gone after" name=${`${at}.curve.half_life`} unit="operations" max=${1000} value=${group.curve.half_life} fault=${fault(`${at}.curve.half_life`)} onValue=${(/** @type {number} */ half_life) => curve(i, { half_life })} />
      <${NumberField} label="Parts of the trainees" name=${`${at}.share`} step=${0.5} value=${group.share} fault=${fault(`${at}.share`)} onValue=${(/** @type {number} */ share) => change(i, { share })} />
    </div>${groups.length > 1 && html`<button type="button" class="quiet" aria-label=${`Leave out group ${i + 1}, ${group.name}`} onClick=${() => onGroups(groups.filter((_, n) => n !== i))}>Leave out</button>`}</fieldset>`; })}
    ${groups.length < 6 && html`<button type="button" class="quiet" onClick=${() => onGroups([...groups, { name: `group ${groups.length + 1}`, share: 1, curve: { start: 50, end: 20, half_life: 20 } }])}>Add a group</button>`}
  </fieldset>`;
}

/** @param {{kinds: Api.SimulatedKind[], fault: (field: string) => string | undefined, onKinds: (kinds: Api.SimulatedKind[]) => void}} props */
export function SimulationKinds({ kinds, fault, onKinds }) {
  const facts = useAtrium().data?.facts;
  const change = (/** @type {number} */ i, /** @type {Partial<Api.SimulatedKind>} */ part) => onKinds(kinds.map((kind, n) => (n === i ? { ...kind, ...part } : kind)));
  const all = kinds.reduce((sum, kind) => sum + kind.share, 0);
  return html`<details class="adjust"><summary>What is operated: ${kinds.length} kinds of operation</summary>
    ${facts && kinds.map((kind, i) => { const at = `mix.kinds[${i}]`; return html`<fieldset class="group" key=${i}><legend>Kind ${i + 1}: ${all > 0 ? Math.round((100 * kind.share) / all) : 0} %</legend><div class="form-columns">
      <${SelectField} label="AF pattern" name=${`${at}.pattern`} value=${kind.pattern} options=${patterns} fault=${fault(`${at}.pattern`)} onValue=${(/** @type {string} */ pattern) => change(i, { pattern })} />
      <${SelectField} label="Scope" name=${`${at}.scope`} value=${kind.scope} options=${facts.scopes} fault=${fault(`${at}.scope`)} onValue=${(/** @type {string} */ scope) => change(i, { scope })} />
      <${SelectField} label="Operation" name=${`${at}.operation`} value=${kind.operation} options=${facts.operations} fault=${fault(`${at}.operation`)} onValue=${(/** @type {string} */ operation) => change(i, { operation })} />
      <${NumberField} label="Parts of the operations" name=${`${at}.share`} step=${0.5} value=${kind.share} fault=${fault(`${at}.share`)} onValue=${(/** @type {number} */ share) => change(i, { share })} />
    </div>${kinds.length > 1 && html`<button type="button" class="quiet" aria-label=${`Leave out kind ${i + 1}`} onClick=${() => onKinds(kinds.filter((_, n) => n !== i))}>Leave out</button>`}</fieldset>`; })}
    ${kinds.length < 60 && html`<button type="button" class="quiet" onClick=${() => onKinds([...kinds, { ...kinds[kinds.length - 1], share: 1 }])}>Add a kind</button>`}
  </details>`;
}
