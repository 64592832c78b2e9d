// Sending a plan for its grade, once: the same form sent twice makes one plan. Without a network a plan for practice waits in the queue.
import { useRef, useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { post } from "../lib/api.js";
import { navigate } from "../lib/navigate.js";
import { ApiProblem } from "../lib/problem.js";
import { at } from "../lib/session.js";
import { uuid, uuid7 } from "../lib/uuid.js";
import { needed } from "../model/kept-words.js";
import { missing, toSend } from "../model/plan-draft.js";
import { asLines } from "./fault-summary.js";
import { enqueue } from "./outbox.js";
import { useStopped } from "./use-stopped.js";

/**
 * @param {Api.Scenario} scenario @param {{plan: Api.Plan, drawing: boolean}} planning
 * @param {{sitting?: string, before?: () => Promise<void>, after?: () => unknown, refused?: (error: unknown) => void}} [test] the test that the plan answers, and what happens about the
 *   request; after: it is with Isthmus, or safe in the queue
 */
export function useSubmission(scenario, { plan, drawing }, test = {}) {
  const key = useRef(uuid()), id = useRef(uuid7());
  const [state, setState] = useState(/** @type {{busy: boolean, lines: {field: string, says: string}[], problem: unknown, refusal?: unknown}} */ ({ busy: false, lines: [], problem: null }));
  const [overrides, onOverrides] = useState(/** @type {Api.Override[]} */ ([]));
  const stopped = useStopped(state.refusal);
  const submit = async (/** @type {Event} */ event) => {
    event.preventDefault();
    const lines = missing(plan, scenario.asks);
    if (drawing) lines.unshift({ field: "lesions", says: "Finish or cancel what you are drawing." });
    if (lines.length > 0) return setState({ busy: false, lines, problem: null });
    setState({ busy: true, lines: [], problem: null });
    const body = { scenario: scenario.id, scenario_version: test.sitting ? undefined : scenario.version, plan: toSend(plan, scenario.asks), sitting: test.sitting, overrides: needed(overrides, { "plan.note": plan.note }) };
    try {
      await test.before?.();
      const sent = test.sitting ? post(at("/plans"), body, { key: key.current }) : post(at("/plans"), { id: id.current, ...body });
      const graded = /** @type {Api.PlanDetail} */ (await sent);
      await test.after?.();
      return navigate(`/plans/${graded.id}`);
    } catch (error) {
      if (error instanceof ApiProblem && error.offline && !test.sitting && await waits(id.current, body, scenario.title)) {
        await test.after?.();
        announce("Kept on this device. It is sent and graded when the network is back.");
        return navigate("/waiting");
      }
      if (error instanceof ApiProblem && !error.offline) { key.current = uuid(); id.current = uuid7(); } // a refused request is corrected and is another one
      const faults = error instanceof ApiProblem && error.errors.length > 0 ? asLines(error.byField("plan")) : [];
      test.refused?.(error);
      return setState({ busy: false, lines: faults, problem: faults.length > 0 ? null : error, refusal: error });
    }
  };
  return { ...state, keeping: { ...stopped, overrides, onOverrides }, submit, faults: new Map(state.lines.map(line => [line.field, line.says])) };
}

/** Puts a plan for practice into the queue; false where the browser keeps nothing. @param {string} id @param {unknown} body @param {string} name */
const waits = (id, body, name) => enqueue("plan", body, { id, name }).then(() => true, () => false);
