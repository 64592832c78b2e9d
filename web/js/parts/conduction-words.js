// A conduction result in words: what is isolated, the circuits with their letters, the gaps. Choosing one lights it on the map.
import { html } from "../lib/html.js";
import { counted, mm, plain } from "../lib/numbers.js";
import { capital, listed, word } from "../lib/words.js";
import { gapWords, verdictWords } from "../model/circuit-words.js";
import { namedCircuits, open as couldHold, outcomes } from "../model/conduction.js";

/** @typedef {{lit: Set<string>, onPick: (key: string) => void}} Light */

/** @param {{result: Api.Result}} props */
export function ResultFacts({ result }) {
  const unasked = outcomes(result).flatMap(({ outcome }) => outcome.islands.filter(island => !island.wanted));
  return html`<dl class="facts">
    <dt>Scope reached</dt><dd>${word(result.scope)}</dd>
    <dt>Veins isolated</dt><dd>${listed(result.veins_isolated.map(vein => word(vein))) || "none"}</dd>
    <dt>Posterior wall</dt><dd>${result.posterior_wall_isolated ? "isolated" : "connected"}</dd>
    <dt>Sinus node to AV node</dt><dd>${result.sinus_to_av_node ? "reached" : "not reached"}</dd>
    ${unasked.map(island => html`<dt>Isolated unasked</dt><dd>${word(island.name)}, ${plain(island.area_cm2)} cm²</dd>`)}
  </dl>`;
}

/** The circuits that could hold a wave, then those too short for one, then those over both atria, which are never a fault.
 * @param {{result: Api.Result} & Light} props */
export function CircuitList({ result, lit, onPick }) {
  const circuits = namedCircuits(result), open = couldHold(circuits), short = circuits.filter(one => !open.includes(one));
  const row = (/** @type {import("../model/conduction.js").NamedCircuit} */ one) => html`<${CircuitRow} key=${one.tag} one=${one} wavelength=${result.wavelength_mm} lit=${lit} onPick=${onPick} />`;
  return html`<h3>Circuits left, against a wavelength of ${mm(result.wavelength_mm)}</h3>
    ${open.length === 0 ? html`<p>None that could hold a wave.</p>` : html`<ul class="circuits">${open.map(row)}</ul>`}
    ${short.length > 0 && html`<details class="more-circuits"><summary>${counted(short.length, "circuit")} too short to hold a wave</summary><ul class="circuits">${short.map(row)}</ul></details>`}
    ${result.between_atria?.length > 0 && html`<details class="more-circuits"><summary>${counted(result.between_atria.length, "loop")} through both atria: never a fault of a plan</summary>
      <ul>${result.between_atria.map(one => html`<li>${capital(one.name)}: ${mm(one.length_mm)}</li>`)}</ul></details>`}`;
}

/** @param {{one: import("../model/conduction.js").NamedCircuit, wavelength: number} & Light} props */
function CircuitRow({ one: { tag, chamber, index, circuit }, wavelength, lit, onPick }) {
  const key = `circuit:${chamber}:${index}`;
  return html`<li><button type="button" class="row-button" aria-pressed=${lit.has(key)} onClick=${() => onPick(key)}>
    <span class="letter-tag">${tag}</span><span>${capital(circuit.name)}<small>${verdictWords(circuit, wavelength)}</small></span><span class="amount">${mm(circuit.length_mm)}</span></button></li>`;
}

/** Where a line's end is not joined: by how much, and what that leaves open. @param {{result: Api.Result, names: string[]} & Light} props names: of the lesions */
export function GapList({ result, names, lit, onPick }) {
  const gaps = outcomes(result).flatMap(({ chamber, outcome }) => outcome.gaps.map((gap, index) => ({ gap, key: `gap:${chamber}:${index}` })));
  if (gaps.length === 0) return null;
  return html`<h3>Gaps: line ends that touch nothing</h3><ul class="circuits">${gaps.map(({ gap, key }) => {
    const says = gapWords(gap, names[gap.lesion] || "A line");
    return html`<li><button type="button" class="row-button" aria-pressed=${lit.has(key)} onClick=${() => onPick(key)}>
      <${GapSign} /><span>${says.what}<small>${says.open}</small></span><span class="amount">${plain(gap.width_mm)} mm</span></button></li>`;
  })}</ul>`;
}

const GapSign = () => html`<svg viewBox="0 0 28 14" width="28" height="14" aria-hidden="true" class="gap"><circle cx="14" cy="7" r="5" /><path d="M2 7h9M17 7h9" /></svg>`;
