// Choosing lesions from the catalogue: one checkbox a lesion, and for the chosen ones how they are made.
import { addLesion, changeLesion, removeLesion } from "../acts/lesions.js";
import { html } from "../lib/html.js";

/** @typedef {import("../acts/history.js").Act<any>} Act */

/**
 * @param {{atrium: import("../model/atrium.js").Atrium, lesions: Api.Lesion[], fresh: (lesion: Api.CatalogueLesion) => Api.Lesion,
 *   onAct: (act: Act) => void, lit?: Set<string>, faults?: Map<string, string>}} props
 */
export function LesionPicker({ atrium, lesions, fresh, onAct, lit = new Set(), faults = new Map() }) {
  return html`<div class="picker" data-field="lesions">
    ${atrium.byChamber().map(({ chamber, name, lesions: offered }) => html`<fieldset key=${chamber}>
      <legend>${name}</legend>
      ${offered.map(offer => {
        const index = lesions.findIndex(lesion => lesion.lesion === offer.id);
        const toggle = () => onAct(index < 0 ? addLesion(fresh(offer), offer.name) : removeLesion(index, offer.name));
        return html`<div key=${offer.id} class=${lit.has(`lesion:${index}`) ? "pick lit" : "pick"}>
          <label class="check"><input type="checkbox" checked=${index >= 0} onChange=${toggle} /><span>${offer.name}</span></label>
          ${index >= 0 && html`<${Delivery} atrium=${atrium} offer=${offer} lesion=${lesions[index]} index=${index} onAct=${onAct} faults=${faults} />`}
        </div>`;
      })}
    </fieldset>`)}
  </div>`;
}

/** How a chosen lesion is made. @param {{atrium: import("../model/atrium.js").Atrium, offer: Api.CatalogueLesion, lesion: Api.Lesion, index: number, onAct: (act: Act) => void, faults: Map<string, string>}} props */
function Delivery({ atrium, offer, lesion, index, onAct, faults }) {
  const change = (/** @type {Partial<Api.Lesion>} */ what) => onAct(changeLesion(index, what, offer.name));
  const tests = atrium.facts.block_tests.filter(test => test.id === "not-tested" || (test.id === "bidirectional") !== offer.closed);
  const fault = [...faults].find(([field]) => field.startsWith(`lesions[${index}]`))?.[1];
  return html`<div class="delivery" data-field=${`lesions[${index}]`}>
    <${Choice} label="Energy" of=${offer.name} value=${lesion.energy || ""} options=${atrium.facts.energies}
      onValue=${(/** @type {string} */ energy) => change({ energy })} />
    <${Applications} of=${offer.name} value=${lesion.applications || 1} onValue=${(/** @type {number} */ applications) => change({ applications })} />
    <${Choice} label="Block test" of=${offer.name} value=${lesion.block || "not-tested"} options=${tests}
      onValue=${(/** @type {string} */ block) => change({ block })} />
    ${fault && html`<p class="fault">${fault}</p>`}
  </div>`;
}

/** @param {{label: string, of: string, value: string, options: Api.Named[], onValue: (id: string) => void}} props */
const Choice = ({ label, of, value, options, onValue }) => html`<label class="choice"><span>${label}</span>
  <select aria-label=${`${label}, ${of}`} value=${value} onChange=${(/** @type {any} */ event) => onValue(event.target.value)}>
    ${options.map(option => html`<option value=${option.id} selected=${option.id === value}>${option.name}</option>`)}
  </select></label>`;

/** @param {{of: string, value: number, onValue: (value: number) => void}} props */
const Applications = ({ of, value, onValue }) => html`<span class="choice"><span aria-hidden="true">Applications</span>
  <span class="stepper">
    <button type="button" aria-label=${`One application less, ${of}`} disabled=${value <= 1} onClick=${() => onValue(value - 1)}>−</button>
    <output aria-label=${`Applications, ${of}`}>${value}</output>
    <button type="button" aria-label=${`One application more, ${of}`} disabled=${value >= 20} onClick=${() => onValue(value + 1)}>+</button>
  </span></span>`;
