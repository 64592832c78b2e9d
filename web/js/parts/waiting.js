// Waiting, failing and empty: each says what to do next.
import { useEffect, useState } from "preact/hooks";
import { timeWords } from "../lib/days.js";
import { html } from "../lib/html.js";
import { inWords } from "../lib/problem.js";

/** Said only when it takes long enough to be noticed. @param {{what?: string}} props */
export function Loading({ what = "this page" }) {
  const [late, setLate] = useState(false);
  useEffect(() => {
    const timer = setTimeout(() => setLate(true), 400);
    return () => clearTimeout(timer);
  }, []);
  return html`<p class="state" role="status">${late ? `Reading ${what}.` : ""}</p>`;
}

/** @param {{problem: unknown, again?: () => void}} props */
export function Trouble({ problem, again }) {
  const { title, next } = inWords(problem);
  return html`<div class="state trouble" role="alert">
    <p class="strong">${title}</p>
    <p>${next}</p>
    ${again && html`<button type="button" class="quiet" onClick=${again}>Try again</button>`}
  </div>`;
}

/** @param {{says: string, children?: unknown}} props children: the next thing to do */
export function Empty({ says, children }) {
  return html`<div class="state"><p>${says}</p>${children && html`<p>${children}</p>`}</div>`;
}

/**
 * What a resource gives: the page once there is data, and until then the waiting or the trouble. Data read earlier stays visible when
 * reading it anew fails, with the trouble above it.
 * @template T
 * @param {{of: import("../lib/resource.js").Resource<T>, what?: string, children: (data: T) => unknown}} props
 */
export function Show({ of, what, children }) {
  const trouble = of.problem ? html`<${Trouble} problem=${of.problem} again=${of.reload} />` : null;
  if (of.data === undefined) return trouble || html`<${Loading} what=${what} />`;
  return html`${trouble}${of.asOf && html`<${AsOf} at=${of.asOf} />`}${children(of.data)}`;
}

/** Said above what this device kept, while the server cannot be reached. @param {{at: string}} props */
export const AsOf = ({ at }) => html`<p class="small as-of" role="status">No connection to Isthmus. This is as it was on ${timeWords(at)}.</p>`;
