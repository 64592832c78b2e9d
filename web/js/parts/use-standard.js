// A standard being written: as a text and as a form, kept in step by the server, which says a moment after each change what is wrong with it
// and what it would mean.
import { useEffect, useState } from "preact/hooks";
import { post } from "../lib/api.js";
import { ApiProblem } from "../lib/problem.js";
import { at } from "../lib/session.js";
import { asLines } from "./fault-summary.js";

/** @typedef {{yaml: string, standard: Api.StandardText | null, turn: number, byForm: boolean}} Draft standard: null while the text is not read, or cannot be */

/** @param {string} start the text to begin with @param {string} day in force from */
export function useStandard(start, day) {
  const [draft, setDraft] = useState(/** @type {Draft} */ ({ yaml: start, standard: null, turn: 0, byForm: false }));
  const [found, setFound] = useState(/** @type {{of: string, check?: Api.StandardCheck, faults: Api.StandardFault[], problem: unknown}} */ ({ of: "", faults: [], problem: null }));
  const wanted = `${draft.turn} ${day}`;
  useEffect(() => {
    const abort = new AbortController(), { yaml, standard, turn, byForm } = draft;
    const body = { yaml, ...(byForm && standard ? { standard } : {}), ...(day ? { in_force_from: day } : {}) };
    const timer = setTimeout(() => {
      /** @type {Promise<Api.StandardCheck>} */ (post(at("/standards/check"), body, { signal: abort.signal })).then(
        check => {
          setDraft(before => (before.turn === turn ? { ...before, yaml: check.yaml, standard: byForm ? before.standard : check.standard || null } : before));
          setFound({ of: wanted, check, faults: check.faults, problem: null });
        },
        problem => {
          if (abort.signal.aborted) return;
          const faults = problem instanceof ApiProblem ? asLines(problem.byField("standard")).map(({ field, says }) => ({ field, message: says })) : [];
          setFound(before => ({ of: wanted, check: before.check, faults, problem: faults.length > 0 ? null : problem }));
        },
      );
    }, turn === 0 ? 0 : 500);
    return () => { clearTimeout(timer); abort.abort(); };
  }, [wanted]);
  return {
    ...draft, ...found, stale: found.of !== wanted,
    write: (/** @type {string} */ yaml) => setDraft(before => ({ yaml, standard: null, turn: before.turn + 1, byForm: false })),
    set: (/** @type {(standard: Api.StandardText) => Api.StandardText} */ change) => setDraft(before => (before.standard ? { ...before, standard: change(before.standard), turn: before.turn + 1, byForm: true } : before)),
  };
}
