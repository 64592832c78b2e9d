// Sending a plan for its grade, once: the same form sent twice makes one plan.
import { useRef, useState } from "preact/hooks";
import { post } from "../lib/api.js";
import { navigate } from "../lib/navigate.js";
import { ApiProblem } from "../lib/problem.js";
import { at } from "../lib/session.js";
import { uuid } from "../lib/uuid.js";
import { needed } from "../model/kept-words.js";
import { missing, toSend } from "../model/plan-draft.js";
import { asLines } from "./fault-summary.js";
import { useStopped } from "./use-stopped.js";

/**
 * @param {Api.Scenario} scenario @param {{plan: Api.Plan, drawing: boolean}} planning
 * @param {{sitting?: string, before?: () => Promise<void>, after?: () => void, refused?: (error: unknown) => void}} [test] the test that the plan answers, and what happens about the request
 */
export function useSubmission(scenario, { plan, drawing }, test = {}) {
  const key = useRef(uuid());
  const [state, setState] = useState(/** @type {{busy: boolean, lines: {field: string, says: string}[], problem: unknown, refusal?: unknown}} */ ({ busy: false, lines: [], problem: null }));
  const [overrides, onOverrides] = useState(/** @type {Api.Override[]} */ ([]));
  const stopped = useStopped(state.refusal);
  const submit = async (/** @type {Event} */ event) => {
    event.preventDefault();
    const lines = missing(plan, scenario.asks);
    if (drawing) lines.unshift({ field: "lesions", says: "Finish or cancel what you are drawing." });
    if (lines.length > 0) return setState({ busy: false, lines, problem: null });
    setState({ busy: true, lines: [], problem: null });
    try {
      await test.before?.();
      const body = { scenario: scenario.id, scenario_version: test.sitting ? undefined : scenario.version, plan: toSend(plan, scenario.asks), sitting: test.sitting, overrides: needed(overrides, { "plan.note": plan.note }) };
      const graded = /** @type {Api.PlanDetail} */ (await post(at("/plans"), body, { key: key.current }));
      test.after?.();
      return navigate(`/plans/${graded.id}`);
    } catch (error) {
      key.current = error instanceof ApiProblem && !error.offline ? uuid() : key.current; // a refused request is corrected and is another one
      const faults = error instanceof ApiProblem && error.errors.length > 0 ? asLines(error.byField("plan")) : [];
      test.refused?.(error);
      return setState({ busy: false, lines: faults, problem: faults.length > 0 ? null : error, refusal: error });
    }
  };
  return { ...state, keeping: { ...stopped, overrides, onOverrides }, submit, faults: new Map(state.lines.map(line => [line.field, line.says])) };
}
