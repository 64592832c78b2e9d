// The live conduction result of a lesion set: asked for once a person wants it, then again after each change, while a point is pulled too.
import { useEffect, useRef, useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { post } from "../lib/api.js";
import { at } from "../lib/session.js";
import { summary } from "../model/conduction.js";
import { Latest } from "../model/latest.js";

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
  const speak = (/** @type {Api.Result} */ result) => {
    clearTimeout(spoken.current);
    spoken.current = setTimeout(() => announce(summary(result)), first.current ? 0 : quietMS);
    first.current = false;
  };
  const [latest] = useState(() => new Latest(/** @type {import("../model/latest.js").Outside<string, Api.Result>} */ ({
    send: (of, signal) => post(at("/conduction"), JSON.parse(of), { signal }),
    tell: (of, result) => { setState({ of, result, problem: null }); speak(result); },
    fail: problem => setState(before => ({ ...before, problem })),
    now: () => performance.now(),
    later: (call, ms) => { const timer = setTimeout(call, ms); return () => clearTimeout(timer); },
  })));
  useEffect(() => {
    if (!on) return;
    clearTimeout(spoken.current);
    if (state.of === wanted) latest.stop(); // changed back before the answer came
    else latest.ask(wanted);
  }, [on, wanted]);
  useEffect(() => () => { clearTimeout(spoken.current); latest.stop(); }, []);
  return {
    result: on ? state.result : undefined, stale: on && state.of !== wanted, problem: on ? state.problem : null, on,
    start: () => { first.current = true; setOn(true); },
    stop: () => { clearTimeout(spoken.current); latest.stop(); setOn(false); setState({ of: "", problem: null }); },
  };
}
