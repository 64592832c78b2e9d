// A list that is read to its end, because it is ordered and searched as a whole.
import { useEffect, useState } from "preact/hooks";
import { get, withQuery } from "../lib/api.js";

/** Pages read at most: 20 of 100 each are more scenarios than a programme writes. */
const most = 20;

/**
 * @template T
 * @param {string} path
 * @returns {import("../lib/resource.js").Resource<T[]> & {caution: string}}
 */
export function useAll(path) {
  const [state, setState] = useState(/** @type {{data?: T[], caution: string, problem: unknown}} */ ({ caution: "", problem: null }));
  const [turn, setTurn] = useState(0);
  useEffect(() => {
    const abort = new AbortController();
    readAll(path, abort.signal).then(
      read => setState({ data: /** @type {T[]} */ (read.items), caution: read.caution, problem: null }),
      problem => { if (!abort.signal.aborted) setState(before => ({ ...before, problem })); },
    );
    return () => abort.abort();
  }, [path, turn]);
  return { ...state, data: state.data, loading: !state.data && !state.problem, reload: () => setTurn(before => before + 1), set: data => setState(before => ({ ...before, data })) };
}

/** @param {string} path @param {AbortSignal} signal */
async function readAll(path, signal) {
  /** @type {unknown[]} */
  const items = [];
  let after = "", caution = "";
  for (let page = 0; page < most; page++) {
    const read = /** @type {Api.Page<unknown>} */ (await get(withQuery(path, { limit: 100, after }), { signal }));
    items.push(...read.items);
    caution = read.caution || "";
    if (!read.next) break;
    after = read.next;
  }
  return { items, caution };
}
