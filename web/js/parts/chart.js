// A chart: the sentence, the picture with marks that lead to their evidence, the table, and files to take away.
import { useEffect, useRef, useState } from "preact/hooks";
import { html } from "../lib/html.js";
import { capital } from "../lib/words.js";
import { layOut } from "../model/chart-layout.js";
import { pointWords } from "../model/chart-table.js";
import { Axes, Drawn, Key, Labels, Mark } from "./chart-marks.js";
import { ChartFiles } from "./chart-files.js";
import { ChartTable } from "./chart-table.js";

/**
 * @param {{chart: Api.Chart, caution?: string, files?: boolean}} props
 * caution: goes into the files, which leave the screen's own; files: false where the chart shows what must not leave the programme
 */
export function ChartFigure({ chart, caution, files = true }) {
  const frame = useRef(/** @type {HTMLElement | null} */ (null)), picture = useRef(/** @type {SVGSVGElement | null} */ (null));
  const at = layOut(chart, useWidth(frame));
  const behind = chart.layers.filter(layer => layer.shape === "band" || layer.shape === "stairs");
  const key = at.wide ? behind : chart.layers.filter((layer, i, all) => layer.shape !== "upright" && (layer.shape !== "dots" || !all.slice(0, i).some(line => line.name === layer.name)));
  return html`<figure class="chart-figure" aria-label=${chart.title}>
    <figcaption><b>${chart.title}</b><span>${chart.says}</span><small>n = ${chart.n} ${chart.of}</small></figcaption>
    <div ref=${frame} class="chart-frame"><svg ref=${picture} class="chart" viewBox=${`0 0 ${at.width} ${at.height}`} width=${at.width} height=${at.height} role="group" aria-label=${`${chart.title}. ${chart.says}`}>
      <${Axes} chart=${chart} at=${at} />
      ${[...behind, ...chart.layers.filter(layer => !behind.includes(layer))].map(layer => html`<${Drawn} layer=${layer} at=${at} />`)}
      <${Marks} chart=${chart} at=${at} />
      <${Labels} at=${at} />
    </svg></div>
    ${key.length > 0 && html`<${Key} layers=${key} />`}
    ${chart.notes?.map(note => html`<p class="small">${capital(note)}</p>`)}
    <${ChartTable} chart=${chart} />
    ${files && html`<${ChartFiles} chart=${chart} picture=${picture} caution=${caution} />`}
  </figure>`;
}

/** The frame's width in pixels, followed as the window changes. @param {{current: HTMLElement | null}} frame */
function useWidth(frame) {
  const [width, setWidth] = useState(640);
  useEffect(() => {
    const box = /** @type {HTMLElement} */ (frame.current);
    const take = () => setWidth(Math.max(280, Math.round(box.clientWidth)));
    take();
    const watch = new ResizeObserver(take);
    watch.observe(box);
    return () => watch.disconnect();
  }, []);
  return width;
}

/**
 * The marks. One stop of the tabulator for all: the arrows go from mark to mark, for a chart may have hundreds.
 * @param {{chart: Api.Chart, at: ReturnType<typeof layOut>}} props
 */
function Marks({ chart, at }) {
  const marks = chart.layers.filter(layer => layer.shape === "dots").flatMap(layer => layer.points.map(point => ({ layer, point })))
    .sort((a, b) => a.point.x - b.point.x);
  const [chosen, setChosen] = useState(0);
  const group = useRef(/** @type {SVGGElement | null} */ (null));
  const move = (/** @type {KeyboardEvent} */ event) => {
    const to = { ArrowRight: chosen + 1, ArrowLeft: chosen - 1, Home: 0, End: marks.length - 1 }[event.key];
    if (to === undefined || to < 0 || to >= marks.length) return;
    event.preventDefault();
    setChosen(to);
    /** @type {SVGElement | undefined} */ (group.current?.querySelectorAll(".mark")[to])?.focus();
  };
  return html`<g ref=${group} onKeyDown=${move}>${marks.map(({ layer, point }, i) => {
    const says = `${layer.name}: ${point.says || pointWords(chart, point)}`, look = `mark role-${layer.role}`, x = at.x(point.x), y = at.y(point.y);
    const sign = html`<title>${says}</title><circle class="reach" cx=${x} cy=${y} r="12" /><${Mark} mark=${point.mark} x=${x} y=${y} />`;
    const stop = { tabindex: i === chosen ? 0 : -1, onFocus: () => setChosen(i), "aria-label": says };
    return point.link ? html`<a href=${point.link} class=${look} ...${stop}>${sign}</a>` : html`<g class=${look} role="img" ...${stop}>${sign}</g>`;
  })}</g>`;
}
