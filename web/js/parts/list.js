// Lists that come a page at a time.
import { useEffect, useState } from "preact/hooks";
import { withQuery } from "../lib/api.js";
import { html } from "../lib/html.js";
import { read as readOrKept } from "../lib/reference.js";
import { AsOf, Loading, Trouble } from "./waiting.js";

/**
 * @template T
 * @param {{path: string, query?: Record<string, string | undefined>, what: string, empty: unknown, children: (items: T[]) => unknown}} props
 */
export function List({ path, query = {}, what, empty, children }) {
  const key = withQuery(path, query);
  const [state, setState] = useState(/** @type {{key: string, items: T[], next?: string, asOf?: string, problem: unknown, busy: boolean}} */ ({ key: "", items: [], problem: null, busy: true }));
  const read = (/** @type {string | undefined} */ after, /** @type {AbortSignal | undefined} */ signal) => {
    setState(before => ({ ...before, problem: null, busy: true }));
    /** @type {Promise<import("../lib/reference.js").Reading<Api.Page<T>>>} */ (readOrKept(withQuery(path, { ...query, after }), { signal })).then(
      ({ data: page, asOf }) => setState(before => ({ key, items: after ? [...before.items, ...page.items] : page.items, next: page.next, asOf, problem: null, busy: false })),
      problem => { if (!signal?.aborted) setState(before => ({ ...before, problem, busy: false })); },
    );
  };
  useEffect(() => {
    const abort = new AbortController();
    read(undefined, abort.signal);
    return () => abort.abort();
  }, [key]);
  if (state.key !== key) return state.problem ? html`<${Trouble} problem=${state.problem}
    again=${() => read(undefined, undefined)} />` : html`<${Loading} what=${what} />`;
  return html`
    ${state.asOf && html`<${AsOf} at=${state.asOf} />`}
    ${state.items.length === 0 ? empty : children(state.items)}
    ${state.problem && html`<${Trouble} problem=${state.problem} />`}
    ${state.next && html`<p class="more"><button type="button" class="quiet" disabled=${state.busy}
      onClick=${() => read(state.next, undefined)}>Show more</button></p>`}`;
}
