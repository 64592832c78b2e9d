// The bar under the map: show the activation, let the wave run, look at any time, and compare with the intact atria.
import { useLayoutEffect, useState } from "preact/hooks";
import { signal } from "@preact/signals";
import { html } from "../lib/html.js";
import { Trouble } from "./waiting.js";

/** @typedef {import("./use-activation.js").Activating} Activating */

const calm = matchMedia("(prefers-reduced-motion: reduce)");
const still = signal(calm.matches);
calm.addEventListener("change", () => { still.value = calm.matches; });

/** Milliseconds of the beat shown in a second: a beat of 120 ms takes four. */
const pace = 30;

/** One press of a step button and one arrow key, in ms. */
const [stride, arrow] = [20, 2];

/** @param {{of: Activating, result?: Api.Result}} props result: of the same plan, for the delay */
export function ActivationBar({ of: activation, result }) {
  const { on, start, stop, shown, problem } = activation;
  if (!on) return html`<div class="activation-bar"><button type="button" class="quiet" onClick=${start}>Show activation</button></div>`;
  return html`<div class="activation-bar" role="group" aria-label="Activation from the sinus node">
    ${shown && html`<${Compared} activation=${activation} />`}
    ${problem ? html`<${Trouble} problem=${problem} />` : shown ? html`<${Player} activation=${activation} shape=${shown} />` : html`<p class="small">Activation is being computed.</p>`}
    ${shown && html`<p class="small delay">${delays(activation, result)}</p>`}
    <button type="button" class="hide-activation" onClick=${stop}>Hide activation</button>
  </div>`;
}

/** @param {{activation: Activating, shape: import("../model/isochrones.js").Activation}} props */
function Player({ activation: { time }, shape }) {
  const [playing, setPlaying] = useState(false);
  const end = Math.ceil(shape.latest / arrow) * arrow, ms = Math.min(Math.round(time.value / arrow) * arrow, end); // as the slider has it
  useLayoutEffect(() => { // not after the next frame: what is paused stands still
    if (!playing) return undefined;
    let last = 0, frame = requestAnimationFrame(function step(now) {
      if (last) time.value += ((now - last) / 1000) * pace;
      last = now;
      if (time.value >= end) setPlaying(false);
      else frame = requestAnimationFrame(step);
    });
    return () => cancelAnimationFrame(frame);
  }, [playing, end, time]);
  const play = () => {
    if (!playing && time.value >= end) time.value = 0;
    setPlaying(!playing);
  };
  const go = (/** @type {number} */ to) => { setPlaying(false); time.value = Math.min(Math.max(to, 0), end); };
  return html`<div class="player">
    ${still.value
      ? html`<button type="button" class="quiet" onClick=${() => go(ms >= end ? 0 : (Math.floor(ms / stride) + 1) * stride)}>${ms >= end ? "From the start" : "Next 20 ms"}</button>`
      : html`<button type="button" class="quiet play" onClick=${play}>${playing ? "Pause" : "Play"}</button>`}
    <input type="range" aria-label="Time after the sinus node" min="0" max=${end} step=${arrow} value=${ms} aria-valuetext=${shape.words(ms)}
      onInput=${(/** @type {Event} */ event) => go(Number(/** @type {HTMLInputElement} */ (event.target).value))} />
    <output>${shape.short(ms)}</output>
  </div>`;
}

/** Before or after: which of the two the map shows. @param {{activation: Activating}} props */
function Compared({ activation: { before, look } }) {
  const choice = (/** @type {boolean} */ value, /** @type {string} */ name) => html`<button type="button" class="quiet" aria-pressed=${before === value} onClick=${() => look(value)}>${name}</button>`;
  return html`<div class="before-after" role="group" aria-label="Before or after the plan">${choice(true, "Intact")}${choice(false, "Plan")}</div>`;
}

/** When the last place of each chamber is activated, against the intact atria. @param {Activating} activation @param {Api.Result} [result] */
function delays({ plan, intact }, result) {
  if (!plan || !intact) return "";
  const says = plan.chambers.map(({ chamber, isochrones }) => {
    const whole = Math.round(intact.of(chamber)?.latest || 0);
    return `${chamber.replace("-", " ")} ${Math.round(isochrones.latest)}\u00a0ms (intact ${whole}\u00a0ms${delayWords(chamber, result)})`;
  });
  return `Last place reached: ${says.join(", ")}.`;
}

/** How much later the last place still reached is activated than the last of the same places in intact atria. @param {Api.Chamber} chamber @param {Api.Result | undefined} result */
function delayWords(chamber, result) {
  const delay = result?.activation.delay_ms[chamber === "left-atrium" ? "left_atrium" : "right_atrium"];
  if (delay === undefined || delay === null) return "";
  return delay < 0.5 ? ", no delay" : `, delay ${Math.round(delay)}\u00a0ms`;
}
