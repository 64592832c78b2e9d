// The findings of a grade: sign and word, points, what, and, opened, why, the source, the evidence for and against. Choosing one lights it
// on the map; what is chosen on the map marks the findings about it.
import { useEffect, useRef, useState } from "preact/hooks";
import { html } from "../lib/html.js";
import { points } from "../lib/numbers.js";
import { Word } from "../lib/words.js";
import { SeveritySign } from "./signs.js";

/**
 * @param {{findings: Api.Finding[], numbers: Map<number, number>, tags: (finding: Api.Finding) => string, chosen: number | null, about?: number[], leads?: (index: number) => boolean,
 *   onChoose: (index: number | null, from: Element) => void}} props
 * numbers: the number a finding has on the map, where it has a place there; about: the findings about what is chosen on the map; leads: whether a finding without a number has something to light
 */
export function Findings({ findings, numbers, tags, chosen, about = [], leads = () => false, onChoose }) {
  const list = useRef(/** @type {HTMLElement | null} */ (null));
  const first = about[0];
  useEffect(() => {
    if (first !== undefined) list.current?.children[first]?.scrollIntoView({ block: "nearest" });
  }, [about.join()]);
  return html`<ol class="findings" ref=${list}>${findings.map((finding, index) => html`<${FindingItem}
    key=${index} finding=${finding} number=${numbers.get(index)} leads=${numbers.has(index) || leads(index)} tag=${tags(finding)} chosen=${chosen === index} marked=${about.includes(index)}
    onChoose=${(/** @type {Element} */ from) => onChoose(chosen === index ? null : index, from)} />`)}</ol>`;
}

/** @param {{finding: Api.Finding, number?: number, leads: boolean, tag: string, chosen: boolean, marked: boolean, onChoose: (from: Element) => void}} props */
function FindingItem({ finding, number, leads, tag, chosen, marked, onChoose }) {
  const { severity, what, why, source, evidence = [] } = finding;
  const lit = chosen || marked;
  const [open, setOpen] = useState(severity === "critical");
  useEffect(() => { if (lit) setOpen(true); }, [lit]);
  return html`<li class=${lit ? "finding lit" : "finding"}>
    <p class="mark-line"><${SeveritySign} severity=${severity} /><span class="severity">${Word(severity)}</span>${marked && html`<span class="marked">about what you chose</span>`}<span class="amount">${points(finding.points)}</span></p>
    <h3>${what}</h3>
    ${tag && html`<p class="tag-line">${tag}</p>`}
    <details open=${open} onToggle=${(/** @type {Event} */ event) => setOpen(/** @type {HTMLDetailsElement} */ (event.currentTarget).open)}>
      <summary>${opens(evidence)}</summary>
      <p>${why}</p>
      ${evidence.map(one => html`<p class="small evidence"><span class="strong">${one.for ? "For" : "Against"}:</span> ${one.text.replace(/\.$/, "")}${one.source && html`. <cite>${one.source}</cite>`}</p>`)}
      <p class="small">Source: ${source}</p>
    </details>
    ${leads && html`<button type="button" class="on-map" aria-pressed=${chosen}
      onClick=${(/** @type {Event} */ event) => onChoose(/** @type {Element} */ (event.currentTarget))}>${number !== undefined && html`<span class="number">${number}</span>`}${chosen ? "Lit on the map" : "Show on the map"}</button>`}
  </li>`;
}

/** What opening a finding gives. @param {Api.Evidence[]} evidence */
function opens(evidence) {
  const pro = evidence.filter(one => one.for).length, con = evidence.length - pro;
  const both = [pro && `${pro} for`, con && `${con} against`].filter(Boolean).join(", ");
  return both ? `Why, source and evidence: ${both}` : "Why and source";
}
