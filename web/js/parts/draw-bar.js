// The controls of drawing under the map: beginning, finishing, ways without a pointer, and the buttons of a chosen point.
import { useEffect, useRef } from "preact/hooks";
import { html } from "../lib/html.js";
import { BetweenLandmarks, PointByPoint, RoundOpenings } from "./draw-ways.js";
import { points } from "./use-draft.js";

/** @typedef {import("./use-drawing.js").Drawing} Drawing */

/** @param {{atrium: import("../model/atrium.js").Atrium, drawing: Drawing, only?: "line" | "ring", again?: boolean}} props only: what else can be drawn is not
 * offered; again: what is drawn takes the place of what was */
export function DrawBar({ atrium, drawing: pen, only, again = false }) {
  useFocusKept(pen);
  if (pen.draft) return html`<${HowTo} atrium=${atrium} pen=${pen} />`;
  return html`<div class="draw-bar">
    ${pen.edited >= 0 && html`<${PointTools} pen=${pen} />`}
    <div class="bar">
      ${only !== "ring" && html`<button type="button" class="quiet begin" onClick=${() => pen.begin(false)}>${again ? "Draw another line instead" : "Draw a line"}</button>`}
      ${only !== "line" && html`<button type="button" class=${only ? "quiet begin" : "quiet"} onClick=${() => pen.begin(true)}>${again ? "Draw another ring instead" : "Draw a ring"}</button>`}
    </div>
  </div>`;
}

/** What is wanted at any moment of drawing and moving points: it stays in sight with the map. @param {{drawing: Drawing}} props */
export function DrawActs({ drawing: pen }) {
  if (pen.draft) return html`<${Finishing} pen=${pen} />`;
  return pen.edited >= 0 ? html`<${PointSteps} pen=${pen} />` : null;
}

/** When the control that had the focus is gone, the focus goes to what comes next: the drawing, the chosen point, or beginning again. @param {Drawing} pen */
function useFocusKept(pen) {
  const first = useRef(true);
  useEffect(() => {
    if (!first.current && (!document.activeElement || document.activeElement === document.body)) {
      const next = document.querySelector(".draw-acts.open") || document.querySelector(".point.chosen") || document.querySelector(".draw-bar .begin");
      /** @type {HTMLElement | null} */ (next)?.focus({ preventScroll: true });
    }
    first.current = false;
  }, [Boolean(pen.draft), pen.edited]);
}

/** @param {{pen: Drawing}} props */
function Finishing({ pen }) {
  const ring = Boolean(pen.draft?.now.closed);
  return html`<div class="draw-acts open" tabindex="-1" role="group" aria-label=${ring ? "Drawing a ring" : "Drawing a line"}>
    <button type="button" disabled=${!pen.ready} onClick=${pen.finish}>${ring ? "Close the ring" : "Finish"}</button>
    <button type="button" class="quiet" onClick=${pen.cancel}>Cancel drawing</button>
    <span class="strong">${points(pen.draft?.now.path.length || 0)}.</span>
  </div>`;
}

/** @param {{atrium: import("../model/atrium.js").Atrium, pen: Drawing}} props */
function HowTo({ atrium, pen }) {
  const ring = Boolean(pen.draft?.now.closed);
  const hint = ring ? "Tap the map for each point of the ring, or pull along its way; it closes itself. Finish with Enter, a double tap or the button."
    : "Tap the map for each point, or pull along the line's way. An end within 3 mm of an opening or a lesion joins it. Finish with Enter, a double tap or the button.";
  return html`<section class="draw-bar open" aria-label="How to draw">
    <p class="draw-hint">${hint}</p>
    ${ring ? html`<${RoundOpenings} atrium=${atrium} pen=${pen} />` : html`<${BetweenLandmarks} atrium=${atrium} pen=${pen} />`}
    <${PointByPoint} atrium=${atrium} pen=${pen} />
  </section>`;
}

const steps = /** @type {[string, number, number, string][]} */ ([["left", -1, 0, "←"], ["up", 0, 1, "↑"], ["down", 0, -1, "↓"], ["right", 1, 0, "→"]]);

/** Moving the chosen point without pulling it. @param {{pen: Drawing}} props */
const PointSteps = ({ pen }) => html`<div class="draw-acts" role="group" aria-label=${`Point ${pen.point + 1} of ${pen.name}`}>
  <span class="stepper">
    ${steps.map(([way, right, up, sign]) => html`<button type="button" aria-label=${`Move the point ${way} 1 mm`} onClick=${() => pen.nudge(pen.point, right, up, 1)}>${sign}</button>`)}
  </span>
  <button type="button" class="quiet" onClick=${() => pen.choose((pen.point + 1) % pen.path.length)}>Next point</button>
</div>`;

/** What else can be done with the chosen point. @param {{pen: Drawing}} props */
const PointTools = ({ pen }) => html`<section class="point-tools" aria-label=${`Points of ${pen.name}`}>
  <p class="draw-hint"><span class="strong">${pen.name}.</span> ${pen.where(pen.point)}. Pull a point, use the arrow keys (1 mm, with Shift 5 mm) or the arrows above.</p>
  <div class="bar">
    <button type="button" class="quiet" onClick=${() => pen.add(pen.point)}>Add a point</button>
    <button type="button" class="quiet" onClick=${() => pen.remove(pen.point)}>Delete the point</button>
    <button type="button" class="quiet" onClick=${pen.removeAll}>${`Delete ${pen.name}`}</button>
  </div>
</section>`;
