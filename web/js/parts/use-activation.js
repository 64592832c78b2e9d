// The activation of a lesion set for the map, and of the intact atria to compare with: read once a person wants it, then again after
// each change; and the time at which it is looked at.
import { useEffect, useRef, useState } from "preact/hooks";
import { signal } from "@preact/signals";
import { post } from "../lib/api.js";
import { at } from "../lib/session.js";

/** @typedef {import("../model/isochrones.js").Activation} Shape */
/** @typedef {{on: boolean, start: () => void, stop: () => void, plan?: Shape, intact?: Shape, shown?: Shape, before: boolean, look: (before: boolean) => void,
 *   stale: boolean, problem: unknown, time: import("@preact/signals").Signal<number>}} Activating
 *   time: in ms; Infinity shows the whole beat */

/** How long a set must stand still before its activation is read: a map is 113 kB. */
const quietMS = 400;

/**
 * @param {import("../model/atrium.js").Atrium} atrium @param {{lesions: Api.Lesion[]}} set the lesion-set file @param {{on?: boolean}} [options] on: read at once
 * @returns {Activating}
 */
export function useActivation(atrium, set, { on: first = false } = {}) {
  const wanted = JSON.stringify(set);
  const [on, setOn] = useState(first);
  const [before, setBefore] = useState(false);
  const [state, setState] = useState(/** @type {{of: string, plan?: Shape, intact?: Shape, problem: unknown}} */ ({ of: "", problem: null }));
  const asked = useRef(false);
  const time = useRef(signal(Infinity)).current;
  useEffect(() => {
    if (!on || state.of === wanted) return undefined;
    const abort = new AbortController();
    const timer = setTimeout(() => {
      asked.current = true;
      read(atrium, JSON.parse(wanted), abort.signal).then(
        both => setState({ of: wanted, ...both, problem: null }),
        problem => { if (!abort.signal.aborted) setState(last => ({ ...last, of: wanted, problem })); },
      );
    }, asked.current ? quietMS : 0);
    return () => { clearTimeout(timer); abort.abort(); };
  }, [on, wanted, atrium]);
  const { plan, intact, problem } = on ? state : { plan: undefined, intact: undefined, problem: null };
  return {
    on, plan, intact, before, problem, time, shown: before ? intact : plan, stale: on && state.of !== wanted,
    look: setBefore,
    start: () => { time.value = Infinity; setOn(true); },
    stop: () => { setOn(false); setBefore(false); asked.current = false; setState({ of: "", problem: null }); },
  };
}

/** The intact atria by their size, as read: they are the same for every plan. @type {Map<string, Promise<Shape>>} */
const intacts = new Map();

/** @param {import("../model/atrium.js").Atrium} atrium @param {{lesions: Api.Lesion[]}} set @param {AbortSignal} signal */
async function read(atrium, set, signal) {
  const { Activation } = await import("../model/isochrones.js"); // comes when it is wanted
  const ask = async (/** @type {object} */ of, /** @type {AbortSignal | undefined} */ until) => new Activation(await post(at("/activation"), of, { signal: until }), atrium.maps);
  const none = { ...set, lesions: [], left_appendage: "kept" }, size = JSON.stringify(none);
  const first = intacts.get(size) || ask(none, undefined);
  intacts.set(size, first);
  first.catch(() => intacts.delete(size));
  const [plan, intact] = await Promise.all([ask(set, signal), first]);
  return { plan, intact };
}
