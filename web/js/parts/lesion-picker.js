// Choosing lesions from the catalogue: one checkbox a lesion, and for the chosen ones how they are made; drawn ones follow their chamber's.
import { addLesion, changeLesion, removeLesion } from "../acts/lesions.js";
import { announce } from "../lib/announce.js";
import { html } from "../lib/html.js";
import { mm } from "../lib/numbers.js";
import { lengthMM } from "../model/path.js";

/** @typedef {import("../acts/history.js").Act<any>} Act */
/** @typedef {{adjust: (index: number) => void, edit: (index: number) => void}} Pen */

/**
 * @param {{atrium: import("../model/atrium.js").Atrium, lesions: Api.Lesion[], fresh: (lesion: Api.CatalogueLesion) => Api.Lesion,
 *   onAct: (act: Act) => void, lit?: Set<string>, faults?: Map<string, string>, pen?: Pen, work?: (index: number) => string}} props
 * pen: where lesions can be drawn and moved; work: whose work a drawn one does, in words
 */
export function LesionPicker({ atrium, lesions, fresh, onAct, lit = new Set(), faults = new Map(), pen, work }) {
  const names = atrium.namesOf(lesions);
  return html`<div class="picker" data-field="lesions">
    ${atrium.byChamber().map(({ chamber, name, lesions: offered }) => html`<fieldset key=${chamber}>
      <legend>${name}</legend>
      ${offered.map(offer => {
        const index = lesions.findIndex(lesion => lesion.lesion === offer.id);
        const toggle = () => onAct(index < 0 ? addLesion(fresh(offer), offer.name) : removeLesion(index, offer.name));
        return html`<div key=${offer.id} class=${lit.has(`lesion:${index}`) ? "pick lit" : "pick"}>
          <label class="check"><input type="checkbox" checked=${index >= 0} onChange=${toggle} /><span>${offer.name}</span></label>
          ${index >= 0 && html`<${Delivery} atrium=${atrium} offer=${offer} lesion=${lesions[index]} index=${index} onAct=${onAct} faults=${faults} />`}
          ${index >= 0 && pen && offer.path.length > 1 && offer.id !== underneath && html`<button type="button" class="quiet small-act" aria-label=${`Adjust ${offer.name}`}
            onClick=${() => pen.adjust(index)}>Adjust</button>`}
        </div>`;
      })}
      ${lesions.map((lesion, index) => !lesion.lesion && lesion.chamber === chamber && html`<${Drawn} key=${`drawn-${index}`} atrium=${atrium} lesion=${lesion} index=${index}
        name=${names[index]} lit=${lit.has(`lesion:${index}`)} onAct=${onAct} faults=${faults} pen=${pen} work=${work?.(index)} />`)}
    </fieldset>`)}
  </div>`;
}

/** The lesion that lies outside the endocardium: a drawn one there would do something else. */
const underneath = "coronary-sinus-lesion";

/** @param {{atrium: import("../model/atrium.js").Atrium, lesion: Api.Lesion, index: number, name: string, lit: boolean, onAct: (act: Act) => void, faults: Map<string, string>, pen?: Pen, work?: string}} props */
function Drawn({ atrium, lesion, index, name, lit, onAct, faults, pen, work }) {
  const closed = Boolean(lesion.closed), radius = atrium.facts.chambers.find(one => one.chamber === lesion.chamber)?.radius_mm || 0;
  return html`<div class=${lit ? "pick lit" : "pick"}>
    <p class="drawn-name">${name} <span class="small">${closed ? "ring" : "line"}, ${mm(lengthMM(lesion.path || [], closed, radius))}${work && `: ${work}`}</span></p>
    <${Delivery} atrium=${atrium} offer=${{ name, closed }} lesion=${lesion} index=${index} onAct=${onAct} faults=${faults} />
    <div class="bar drawn-acts">
      ${pen && html`<button type="button" class="quiet small-act" aria-pressed=${lit} aria-label=${`Move points of ${name}`} onClick=${() => pen.edit(index)}>Move points</button>`}
      <button type="button" class="quiet small-act" aria-label=${`Delete ${name} from the list`} onClick=${() => { onAct(removeLesion(index, name)); announce(`${name} deleted.`); }}>Delete</button>
    </div>
  </div>`;
}

/** How a chosen lesion is made. @param {{atrium: import("../model/atrium.js").Atrium, offer: {name: string, closed: boolean}, lesion: Api.Lesion, index: number, onAct: (act: Act) => void, faults: Map<string, string>}} props */
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
