// The live conduction result of a lesion set: asked for once a person wants it, then again after each change.
import { useEffect, useRef, useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { post } from "../lib/api.js";
import { at } from "../lib/session.js";
import { summary } from "../model/conduction.js";

/** How long a result waits to be spoken after a change: what was done is heard first, and a row of changes is summed up once. */
const quietMS = 2500;

/**
 * @param {object} set the lesion-set file
 * @returns {{result: Api.Result | undefined, stale: boolean, problem: unknown, on: boolean, start: () => void, stop: () => void}}
 */
export function useConduction(set) {
  const wanted = JSON.stringify(set);
  const [on, setOn] = useState(false);
  const [state, setState] = useState(/** @type {{of: string, result?: Api.Result, problem: unknown}} */ ({ of: "", problem: null }));
  const first = useRef(true);
  const spoken = useRef(0);
  useEffect(() => {
    if (!on || state.of === wanted) return undefined;
    clearTimeout(spoken.current);
    const abort = new AbortController();
    const timer = setTimeout(() => {
      const asked = first.current;
      first.current = false;
      /** @type {Promise<Api.Result>} */ (post(at("/conduction"), JSON.parse(wanted), { signal: abort.signal })).then(
        result => {
          setState({ of: wanted, result, problem: null });
          spoken.current = setTimeout(() => announce(summary(result)), asked ? 0 : quietMS);
        },
        problem => { if (!abort.signal.aborted) setState(before => ({ ...before, problem })); },
      );
    }, first.current ? 0 : 150);
    return () => { clearTimeout(timer); abort.abort(); };
  }, [on, wanted]);
  return {
    result: on ? state.result : undefined, stale: on && state.of !== wanted, problem: on ? state.problem : null, on,
    start: () => { first.current = true; setOn(true); },
    stop: () => { clearTimeout(spoken.current); setOn(false); setState({ of: "", problem: null }); },
  };
}
