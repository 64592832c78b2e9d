// Reading something from the server for as long as a page shows it.
import { useEffect, useState } from "preact/hooks";
import { read } from "./reference.js";

/** @template T @typedef {{data: T | undefined, problem: unknown, loading: boolean, reload: () => void, set: (data: T) => void, asOf?: string}} Resource
 * asOf: when it was read, where the server is not reached and this device keeps it */

/**
 * Reads the path, again whenever it changes or reload is called; null reads nothing.
 * @template T
 * @param {string | null} path
 * @returns {Resource<T>}
 */
export function useResource(path) {
  const [state, setState] = useState(/** @type {{path: string | null, data?: T, asOf?: string, problem: unknown, loading: boolean}} */ ({ path, problem: null, loading: path !== null }));
  const [turn, setTurn] = useState(0);
  useEffect(() => {
    if (path === null) return undefined;
    const abort = new AbortController();
    setState(before => ({ path, data: before.path === path ? before.data : undefined, problem: null, loading: true }));
    read(path, { signal: abort.signal }).then(
      ({ data, asOf }) => { if (!abort.signal.aborted) setState({ path, data: /** @type {T} */ (data), asOf, problem: null, loading: false }); },
      problem => {
        if (!abort.signal.aborted) setState(before => ({ path, data: before.path === path ? before.data : undefined, problem, loading: false }));
      },
    );
    return () => abort.abort();
  }, [path, turn]);
  const fresh = state.path === path;
  return {
    data: fresh ? state.data : undefined,
    asOf: fresh ? state.asOf : undefined,
    problem: fresh ? state.problem : null,
    loading: state.loading || !fresh,
    reload: () => setTurn(before => before + 1),
    set: data => setState({ path, data, problem: null, loading: false }),
  };
}
