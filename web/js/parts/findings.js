// The findings of a grade: sign and word, points, what, why, the evidence for and against. Choosing one lights it on the map.
import { html } from "../lib/html.js";
import { points } from "../lib/numbers.js";
import { Word } from "../lib/words.js";
import { SeveritySign } from "./signs.js";

/**
 * @param {{findings: Api.Finding[], numbers: Map<number, number>, tags: (finding: Api.Finding) => string, chosen: number | null, onChoose: (index: number | null) => void}} props
 * numbers: the number a finding has on the map, where it has a place there
 */
export const Findings = ({ findings, numbers, tags, chosen, onChoose }) => html`<ol class="findings">
  ${findings.map((finding, index) => html`<${FindingItem}
    key=${index} finding=${finding} number=${numbers.get(index)} tag=${tags(finding)} chosen=${chosen === index} onChoose=${() => onChoose(chosen === index ? null : index)} id=${`finding-${index}`} />`)}
</ol>`;

/** @param {{finding: Api.Finding, number?: number, tag: string, chosen: boolean, onChoose: () => void, id: string}} props */
function FindingItem({ finding, number, tag, chosen, onChoose, id }) {
  const { severity, what, why, source, evidence = [] } = finding;
  return html`<li class=${chosen ? "finding lit" : "finding"} id=${id}>
    <p class="mark-line"><${SeveritySign} severity=${severity} /><span class="severity">${Word(severity)}</span><span class="amount">${points(finding.points)}</span></p>
    <h3>${what}</h3>
    ${tag && html`<p class="tag-line">${tag}</p>`}
    <p>${why}</p>
    ${evidence.map(one => html`<p class="small"><span class="strong">${one.for ? "For" : "Against"}:</span> ${one.text.replace(/\.$/, "")}${one.source && html`. <cite>${one.source}</cite>`}</p>`)}
    <p class="small">Source: ${source}</p>
    ${number !== undefined && html`<button type="button" class="on-map" aria-pressed=${chosen}
      onClick=${onChoose}><span class="number">${number}</span>${chosen ? "Lit on the map" : "Show on the map"}</button>`}
  </li>`;
}
