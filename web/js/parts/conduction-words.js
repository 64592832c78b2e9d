// A conduction result in words: the circuits with their letters, what is isolated, and the open line ends. Choosing a circuit lights it.
import { html } from "../lib/html.js";
import { mm, plain } from "../lib/numbers.js";
import { capital, listed, word } from "../lib/words.js";
import { namedCircuits, outcomes } from "../model/conduction.js";

/** @param {{result: Api.Result, lit: Set<string>, onPick: (key: string) => void}} props */
export function ConductionWords({ result, lit, onPick }) {
  const circuits = namedCircuits(result);
  const islands = outcomes(result).flatMap(({ outcome }) => outcome.islands.filter(island => !island.wanted));
  return html`<section class="conduction" aria-label="Conduction">
    <dl class="facts">
      <dt>Scope reached</dt><dd>${word(result.scope)}</dd>
      <dt>Veins isolated</dt><dd>${listed(result.veins_isolated.map(vein => word(vein))) || "none"}</dd>
      <dt>Posterior wall</dt><dd>${result.posterior_wall_isolated ? "isolated" : "connected"}</dd>
      <dt>Sinus node to AV node</dt><dd>${result.sinus_to_av_node ? "reached" : "not reached"}</dd>
      ${islands.map(island => html`<dt>Isolated unasked</dt><dd>${word(island.name)}, ${plain(island.area_cm2)} cm²</dd>`)}
    </dl>
    <h3>Circuits left, against a wavelength of ${mm(result.wavelength_mm)}</h3>
    ${circuits.length === 0 ? html`<p>None.</p>` : html`<ul class="circuits">${circuits.map(({ tag, chamber, index, circuit }) => {
      const key = `circuit:${chamber}:${index}`;
      return html`<li><button type="button" class="row-button" aria-pressed=${lit.has(key)} onClick=${() => onPick(key)}>
        <span class="letter-tag">${tag}</span><span>${capital(circuit.name)}<small>${word(circuit.verdict)}</small></span><span class="amount">${mm(circuit.length_mm)}</span></button></li>`;
    })}</ul>`}
  </section>`;
}
