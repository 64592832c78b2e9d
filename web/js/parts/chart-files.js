// A chart to take away: as a picture that can be scaled, as pixels, or as numbers.
import { announce } from "../lib/announce.js";
import { saveAs, toPixels } from "../lib/save.js";
import { html } from "../lib/html.js";
import { csvOf } from "../model/chart-table.js";
import { words } from "./caution.js";

/** What a stylesheet gives a stroke or a letter; a file has none, so each goes along. */
const LOOKS = ["fill", "fill-opacity", "stroke", "stroke-width", "stroke-dasharray", "stroke-linecap", "stroke-linejoin", "font-family", "font-size", "font-weight", "text-anchor", "paint-order"];

/** The picture on its own, with title, n and caution written into it. @param {SVGSVGElement} drawn @param {Api.Chart} chart @param {string} caution */
function alone(drawn, chart, caution) {
  const copy = /** @type {SVGSVGElement} */ (drawn.cloneNode(true)), [, , width, height] = (drawn.getAttribute("viewBox") ?? "0 0 640 400").split(" ").map(Number);
  const from = [drawn, ...drawn.querySelectorAll("*")], to = [copy, ...copy.querySelectorAll("*")];
  from.forEach((one, i) => { const look = getComputedStyle(one); for (const name of LOOKS) to[i].setAttribute(name, look.getPropertyValue(name)); });
  for (const link of copy.querySelectorAll("a")) link.removeAttribute("href"); // an address of this programme means nothing elsewhere
  const paper = getComputedStyle(document.body).backgroundColor, ink = getComputedStyle(drawn).color, head = 48, foot = 26;
  copy.setAttribute("xmlns", "http://www.w3.org/2000/svg");
  copy.setAttribute("viewBox", `0 ${-head} ${width} ${height + head + foot}`);
  copy.setAttribute("width", String(width));
  copy.setAttribute("height", String(height + head + foot));
  /** @param {string} name @param {Record<string, string | number>} given @param {string} [text] */
  const put = (name, given, text) => {
    const part = document.createElementNS("http://www.w3.org/2000/svg", name);
    for (const [key, value] of Object.entries(given)) part.setAttribute(key, String(value));
    if (text) part.textContent = text;
    return part;
  };
  const letters = { "font-family": "sans-serif", fill: ink, x: 8 };
  copy.prepend(put("rect", { x: 0, y: -head, width, height: height + head + foot, fill: paper }),
    put("text", { ...letters, y: 18 - head, "font-size": 15, "font-weight": 700 }, chart.title), put("text", { ...letters, y: 36 - head, "font-size": 12 }, `n = ${chart.n} ${chart.of}`));
  copy.append(put("text", { ...letters, y: height + foot - 10, "font-size": 11 }, caution));
  return { source: new XMLSerializer().serializeToString(copy), width, height: height + head + foot };
}

/** @param {{chart: Api.Chart, picture: {current: SVGSVGElement | null}, caution?: string}} props */
export function ChartFiles({ chart, picture, caution = words }) {
  const drawn = () => alone(/** @type {SVGSVGElement} */ (picture.current), chart, caution);
  const save = (/** @type {string} */ ending, /** @type {Blob} */ content) => { saveAs(`${chart.id}.${ending}`, content); announce(`${chart.title} saved as ${ending.toUpperCase()}.`); };
  return html`<p class="ways chart-files">
    <button type="button" class="quiet" onClick=${() => save("svg", new Blob([drawn().source], { type: "image/svg+xml" }))}>SVG<span class="unseen"> of ${chart.title}</span></button>
    <button type="button" class="quiet" onClick=${async () => save("png", await toPixels(drawn()))}>PNG<span class="unseen"> of ${chart.title}</span></button>
    <button type="button" class="quiet" onClick=${() => save("csv", new Blob([csvOf(chart, caution)], { type: "text/csv" }))}>CSV<span class="unseen"> of ${chart.title}</span></button>
  </p>`;
}
