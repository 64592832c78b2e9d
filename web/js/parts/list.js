// Lists that come a page at a time.
import { useEffect, useState } from "preact/hooks";
import { get, withQuery } from "../lib/api.js";
import { html } from "../lib/html.js";
import { Loading, Trouble } from "./waiting.js";

/**
 * @template T
 * @param {{path: string, query?: Record<string, string | undefined>, what: string, empty: unknown, children: (items: T[]) => unknown}} props
 */
export function List({ path, query = {}, what, empty, children }) {
  const key = withQuery(path, query);
  const [state, setState] = useState(/** @type {{key: string, items: T[], next?: string, problem: unknown, busy: boolean}} */ ({ key: "", items: [], problem: null, busy: true }));
  const read = (/** @type {string | undefined} */ after, /** @type {AbortSignal | undefined} */ signal) => {
    setState(before => ({ ...before, problem: null, busy: true }));
    /** @type {Promise<Api.Page<T>>} */ (get(withQuery(path, { ...query, after }), { signal })).then(
      page => setState(before => ({ key, items: after ? [...before.items, ...page.items] : page.items, next: page.next, problem: null, busy: false })),
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
    ${state.items.length === 0 ? empty : children(state.items)}
    ${state.problem && html`<${Trouble} problem=${state.problem} />`}
    ${state.next && html`<p class="more"><button type="button" class="quiet" disabled=${state.busy}
      onClick=${() => read(state.next, undefined)}>Show more</button></p>`}`;
}
