// The key of the map: what each line and hatch means, and the short forms.
import { useId } from "preact/hooks";
import { html } from "../lib/html.js";
import { Hatch } from "./hatch.js";
import { shortForms } from "../model/atrium.js";

/** @param {{atrium: import("../model/atrium.js").Atrium, withResult: boolean, withActivation?: boolean, only?: Api.Chamber}} props */
export function MapKey({ atrium, withResult, withActivation, only }) {
  const hatch = useId();
  const forms = atrium.facts.chambers.filter(shape => !only || shape.chamber === only).flatMap(shortForms);
  return html`<figcaption class="key">
    <span><svg viewBox="0 0 34 12" aria-hidden="true" class="lesion"><path class="stroke" d="M3 6h28" /></svg>heat</span>
    <span><svg viewBox="0 0 34 12" aria-hidden="true" class="lesion"><path class="stroke cryo" d="M3 6h28" /></svg>cold</span>
    <span><svg viewBox="0 0 34 12" aria-hidden="true" class="lesion"><path class="stroke incision" d="M3 6h28" /><path class="core" d="M3 6h28" /></svg>incision</span>
    ${withResult && html`
      <span><svg viewBox="0 0 34 12" aria-hidden="true" class="circuit can-sustain"><path class="stroke" d="M2 6h30" /></svg>circuit left open</span>
      <span><svg viewBox="0 0 34 12" aria-hidden="true"><${Hatch} id=${hatch} /><rect width="34" height="12" fill=${`url(#${hatch})`} /></svg>no longer connected</span>
      <span><svg viewBox="0 0 34 12" aria-hidden="true" class="gap"><circle cx="17" cy="6" r="4.5" /><path d="M5 6h8M21 6h8" /></svg>gap: open line end</span>`}
    ${withActivation && html`
      <span><svg viewBox="0 0 68 12" aria-hidden="true" class="shades">${[0, 1, 2, 3, 4, 5].map(step => html`<rect class=${`shade-${step}`} x=${step * 11 + 1} width="11" height="12" />`)}</svg>shade: activation, 20 ms a step</span>
      <span><svg viewBox="0 0 14 12" aria-hidden="true" class="latest"><path d="M7 1l5 5l-5 5l-5 -5z" /></svg>reached last</span>`}
    <span class="forms">${forms.map(({ short, name }, i) => html`${i > 0 && ", "}<abbr>${short}</abbr> ${name}`)}</span>
  </figcaption>`;
}
