// Doing one thing at a time from a form: whether it is under way, what is wrong by field, and what else went wrong.
import { useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { ApiProblem } from "../lib/problem.js";
import { asLines } from "./fault-summary.js";

/** @typedef {{field: string, says: string}} Line */
/** @typedef {{busy: boolean, lines: Line[], problem: unknown, refusal: unknown}} Acting problem: what no field is to blame for; refusal: the error whatever it is about */

/** @type {Acting} */
const idle = { busy: false, lines: [], problem: null, refusal: null };

/** @param {...string} wrappers names the request wraps the form's fields in */
export function useAct(...wrappers) {
  const [state, setState] = useState(idle);
  /** Shows what is wrong before anything is sent. @param {(Line | false | undefined)[]} lines @returns {boolean} whether something is */
  const refuse = lines => {
    const wrong = /** @type {Line[]} */ (lines.filter(Boolean));
    setState({ ...idle, lines: wrong });
    return wrong.length > 0;
  };
  /** Does it, says that it is done, and gives the error where it is not. @param {string} done @param {() => Promise<unknown>} does @returns {Promise<unknown>} */
  const act = async (done, does) => {
    setState({ ...idle, busy: true });
    try {
      await does();
      if (done) announce(done);
      setState(idle);
      return null;
    } catch (error) {
      const lines = error instanceof ApiProblem ? asLines(error.byField(...wrappers)) : [];
      setState({ busy: false, lines, problem: lines.length > 0 ? null : error, refusal: error });
      return error;
    }
  };
  return { ...state, act, refuse, fault: (/** @type {string} */ field) => state.lines.find(line => line.field === field)?.says };
}
