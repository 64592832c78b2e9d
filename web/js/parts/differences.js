// The differences between two plans, by heading: what differs, both sides, and what it means.
import { html } from "../lib/html.js";

/**
 * @param {{groups: {heading: string, items: import("../model/comparison.js").Numbered[]}[], whose: string, chosen: number | null, onChoose: (index: number | null) => void}} props
 */
export const Differences = ({ groups, whose, chosen, onChoose }) => html`${groups.map(({ heading, items }) => html`
  <h3>${heading}</h3>
  <ul class="contrasts">${items.map(({ difference, index }) => html`<${DifferenceItem} key=${index} difference=${difference} index=${index} whose=${whose} chosen=${chosen === index}
    onChoose=${() => onChoose(chosen === index ? null : index)} />`)}</ul>`)}`;

/** @param {{difference: Api.Difference, index: number, whose: string, chosen: boolean, onChoose: () => void}} props */
function DifferenceItem({ difference, index, whose, chosen, onChoose }) {
  const { about, yours, theirs, means, source, place, their_place: theirPlace } = difference;
  return html`<li class=${chosen ? "contrast lit" : "contrast"} id=${`difference-${index}`}>
    <div class="contrast-about">
      <h4>${about}</h4>
      ${(place || theirPlace) && html`<button type="button" class="on-map" aria-pressed=${chosen}
        onClick=${onChoose}><span class="number">${index + 1}</span>${chosen ? "Lit" : "Show"} on both maps<span class="unseen">: ${about}</span></button>`}
    </div>
    <dl class="contrast-sides"><div><dt>${whose}</dt><dd>${yours}</dd></div><div><dt>Expert's plan</dt><dd>${theirs}</dd></div></dl>
    <p>${means}${source && html` <small>Source: ${source}</small>`}</p>
  </li>`;
}
