// The atria of a patient, ready to draw.
import { useEffect, useState } from "preact/hooks";
import { catalogue } from "../lib/catalogue.js";
import { Atrium } from "../model/atrium.js";

/**
 * @param {number} [leftMM] @param {number} [rightMM]
 * @returns {import("../lib/resource.js").Resource<Atrium>}
 */
export function useAtrium(leftMM, rightMM) {
  const [state, setState] = useState(/** @type {{data?: Atrium, problem: unknown}} */ ({ problem: null }));
  const [turn, setTurn] = useState(0);
  useEffect(() => {
    let wanted = true;
    catalogue(leftMM, rightMM).then(
      facts => wanted && setState({ data: new Atrium(facts), problem: null }),
      problem => wanted && setState(before => ({ ...before, problem })),
    );
    return () => { wanted = false; };
  }, [leftMM, rightMM, turn]);
  return { data: state.data, problem: state.problem, loading: !state.data && !state.problem, reload: () => setTurn(before => before + 1), set: data => setState({ data, problem: null }) };
}
