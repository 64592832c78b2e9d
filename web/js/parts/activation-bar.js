// The bar under the map: show the activation, let the wave run, look at any time, and compare with the intact atria.
import { useEffect, useState } from "preact/hooks";
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
    ${problem ? html`<${Trouble} problem=${problem} />` : shown ? html`<${Player} activation=${activation} shape=${shown} />` : html`<p class="small">Activation is being computed.</p>`}
    <div class="activation-foot">
      ${shown && html`<${Compared} activation=${activation} result=${result} />`}
      <button type="button" class="quiet" onClick=${stop}>Hide activation</button>
    </div>
  </div>`;
}

/** @param {{activation: Activating, shape: import("../model/isochrones.js").Activation}} props */
function Player({ activation: { time }, shape }) {
  const [playing, setPlaying] = useState(false);
  const end = Math.ceil(shape.latest), ms = Math.min(time.value, end);
  useEffect(() => {
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
    <output>${shape.words(ms).replace(/^a/, "A")}.</output>
  </div>`;
}

/** Before and after: which of the two the map shows, and the delay. @param {{activation: Activating, result?: Api.Result}} props */
function Compared({ activation: { plan, intact, before, look }, result }) {
  if (!plan || !intact) return null;
  const choice = (/** @type {boolean} */ value, /** @type {string} */ name) => html`<button type="button" class="quiet" aria-pressed=${before === value} onClick=${() => look(value)}>${name}</button>`;
  return html`<div class="before-after" role="group" aria-label="Before or after the plan">${choice(true, "Intact atria")}${choice(false, "This plan")}</div>
    <p class="small delay">${plan.chambers.map(({ chamber, isochrones }) => `${lastWords(chamber, isochrones.latest, intact.of(chamber)?.latest || 0)}${delayWords(chamber, result)}.`).join(" ")}</p>`;
}

/** @param {Api.Chamber} chamber @param {number} plan @param {number} intact when the last place is activated, in ms */
const lastWords = (chamber, plan, intact) => `${chamber === "left-atrium" ? "Left atrium" : "Right atrium"}: last place at ${Math.round(plan)}\u00a0ms, ${Math.round(intact)}\u00a0ms when intact`;

/** How much later the last place still reached is activated than the last of the same places in intact atria. @param {Api.Chamber} chamber @param {Api.Result | undefined} result */
function delayWords(chamber, result) {
  const delay = result?.activation.delay_ms[chamber === "left-atrium" ? "left_atrium" : "right_atrium"];
  if (delay === undefined || delay === null) return "";
  return delay < 0.5 ? ", no delay" : `, a delay of ${Math.round(delay)}\u00a0ms where it is still reached`;
}
