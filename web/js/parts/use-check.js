// What the check finds in a scenario while it is being written: asked for again a moment after each change.
import { useEffect, useState } from "preact/hooks";
import { post } from "../lib/api.js";
import { at } from "../lib/session.js";

/** How long writing must pause before it is checked. */
const pauseMS = 600;

/** @typedef {{scenario?: Api.ScenarioText, yaml?: string}} Checked */

/**
 * @param {Checked | null} what a scenario or a file; null asks for nothing
 * @returns {{result: Api.Check | undefined, of: Checked | undefined, stale: boolean, problem: unknown}} of: what the result is of; stale: something has changed since
 */
export function useCheck(what) {
  const wanted = JSON.stringify(what);
  const [state, setState] = useState(/** @type {{of: string, result?: Api.Check, problem: unknown}} */ ({ of: "", problem: null }));
  const first = state.of === "";
  useEffect(() => {
    if (wanted === "null") return undefined;
    const abort = new AbortController();
    const timer = setTimeout(() => {
      /** @type {Promise<Api.Check>} */ (post(at("/library/check"), JSON.parse(wanted), { signal: abort.signal })).then(
        result => setState({ of: wanted, result, problem: null }),
        problem => { if (!abort.signal.aborted) setState(before => ({ ...before, problem })); },
      );
    }, first ? 0 : pauseMS);
    return () => { clearTimeout(timer); abort.abort(); };
  }, [wanted]);
  return { result: state.result, of: state.of ? JSON.parse(state.of) : undefined, stale: state.of !== wanted, problem: state.problem };
}
