// Sign-offs prepared one by one and signed together: each is its own signature, and one that fails stops no other.
import { ApiProblem, inWords } from "../lib/problem.js";

/**
 * A prepared sign-off. revision and version: of the case as it was opened; body: the statement as it is sent.
 * @typedef {{case: string, revision: number, version: number, title: string, trainee_name: string, operated_on: string,
 *   body: Api.Statement & {overrides: Api.Override[]}}} Prepared
 */

/**
 * What became of one: signed; stale, as the case changed after it was opened; refused; or left, as the signing stopped before it.
 * @typedef {{case: string, kind: "signed" | "stale" | "refused" | "left", title: string, says: string}} Result
 */

/** Refusals that are about the signer or the network, not about a case: the rest would meet them too. */
const stops = new Set(["proof-needed", "proof-failed"]);

/** @param {unknown} error */
const stopsAll = error => error instanceof ApiProblem && (error.offline || error.status === 401 || error.status === 429 || stops.has(error.kind));

/**
 * Signs each, in order. Gives what became of each, and what stopped the signing, if anything.
 * @param {Prepared[]} prepared @param {(one: Prepared) => Promise<unknown>} sign @param {(result: Result) => void} [tell] of each as it is known
 * @returns {Promise<{results: Result[], stopped?: unknown}>}
 */
export async function signEach(prepared, sign, tell = () => {}) {
  const results = /** @type {Result[]} */ ([]);
  const note = (/** @type {Result} */ result) => { results.push(result); tell(result); };
  for (const [i, one] of prepared.entries()) {
    try {
      await sign(one);
      note({ case: one.case, kind: "signed", title: "Signed", says: "" });
    } catch (error) {
      if (stopsAll(error)) {
        prepared.slice(i).forEach(left => note({ case: left.case, kind: "left", title: "Not signed yet", says: "" }));
        return { results, stopped: error };
      }
      note(resultOf(one, error));
    }
  }
  return { results };
}

/** @param {Prepared} one @param {unknown} error @returns {Result} */
function resultOf(one, error) {
  const { title, next } = inWords(error);
  if (error instanceof ApiProblem && error.status === 412) return { case: one.case, kind: "stale", title, says: "Nothing was signed. Open it to see what it says now." };
  const faults = error instanceof ApiProblem ? [...error.byField("statement").values()] : [];
  return { case: one.case, kind: "refused", title, says: faults.length > 0 ? `${faults.join(". ")}.` : next };
}
