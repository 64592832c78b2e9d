// A list that is read to its end, because it is ordered and searched as a whole.
import { useEffect, useState } from "preact/hooks";
import { withQuery } from "../lib/api.js";
import { read as readOrKept } from "../lib/reference.js";

/** Pages read at most: 20 of 100 each are more scenarios than a programme writes, and more cases than wait for one supervisor. */
const most = 20;

/**
 * @template T
 * @param {string} path @param {Record<string, string | undefined>} [query]
 * @returns {import("../lib/resource.js").Resource<T[]> & {caution: string}}
 */
export function useAll(path, query = {}) {
  const key = withQuery(path, query);
  const [state, setState] = useState(/** @type {{data?: T[], asOf?: string, caution: string, problem: unknown}} */ ({ caution: "", problem: null }));
  const [turn, setTurn] = useState(0);
  useEffect(() => {
    const abort = new AbortController();
    readAll(path, query, abort.signal).then(
      read => setState({ data: /** @type {T[]} */ (read.items), asOf: read.asOf, caution: read.caution, problem: null }),
      problem => { if (!abort.signal.aborted) setState(before => ({ ...before, problem })); },
    );
    return () => abort.abort();
  }, [key, turn]);
  return { ...state, data: state.data, loading: !state.data && !state.problem, reload: () => setTurn(before => before + 1), set: data => setState(before => ({ ...before, data })) };
}

/** @param {string} path @param {Record<string, string | undefined>} query @param {AbortSignal} signal */
async function readAll(path, query, signal) {
  /** @type {unknown[]} */
  const items = [];
  let after = "", caution = "", asOf = /** @type {string | undefined} */ (undefined);
  for (let page = 0; page < most; page++) {
    const { data: read, asOf: old } = /** @type {import("../lib/reference.js").Reading<Api.Page<unknown>>} */ (await readOrKept(withQuery(path, { ...query, limit: "100", after }), { signal }));
    items.push(...read.items);
    asOf = asOf || old;
    caution = read.caution || "";
    if (!read.next) break;
    after = read.next;
  }
  return { items, caution, asOf };
}
