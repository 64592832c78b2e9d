// What a supervisor does with a case on the sign-off page: sign, put in the tray, or give it back.
import { useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { post } from "../lib/api.js";
import { navigate } from "../lib/navigate.js";
import { ApiProblem } from "../lib/problem.js";
import { at } from "../lib/session.js";
import { needed } from "../model/kept-words.js";
import { asSent, unanswered } from "../model/statement.js";
import { asLines } from "./fault-summary.js";
import { putIn, takeOut } from "./tray.js";

/** @typedef {{busy: boolean, lines: {field: string, says: string}[], problem: unknown, refusal?: unknown}} State */

/** @param {Api.CaseDetail} detail @param {string} title what the case is called @param {Api.Statement} seen @param {Api.Override[]} overrides */
export function useSigning(detail, title, seen, overrides) {
  const [state, setState] = useState(/** @type {State} */ ({ busy: false, lines: [], problem: null }));
  const [password, setPassword] = useState("");
  const [asks, setAsks] = useState(false);
  const { id, revision, version } = detail.case;
  const send = async (/** @type {string} */ what, /** @type {unknown} */ body, /** @type {string} */ done) => {
    setState({ busy: true, lines: [], problem: null });
    try {
      if (what === "sign-off" && asks) await post("/session/proof", { password });
      await post(at(`/cases/${id}/${what}`), body, { revision });
      await takeOut(id);
      announce(done);
      navigate("/inbox");
    } catch (error) {
      const kind = error instanceof ApiProblem ? error.kind : "";
      if (kind === "proof-needed" || kind === "proof-failed") return askAgain(kind);
      const lines = error instanceof ApiProblem && error.errors.length > 0 ? asLines(error.byField("statement")) : [];
      setState({ busy: false, lines, problem: lines.length > 0 ? null : error, refusal: error });
    }
  };
  const askAgain = (/** @type {string} */ kind) => {
    setAsks(true);
    const says = kind === "proof-failed" ? "That is not your password." : "Give your password to sign.";
    setState({ busy: false, lines: [{ field: "password", says }], problem: null });
  };
  const body = () => ({ ...asSent(seen), overrides: needed(overrides, { keep: seen.keep, change: seen.change }) });
  const sign = (/** @type {Event} */ event) => {
    event.preventDefault();
    const lines = unanswered(seen, detail.case.record.events);
    if (asks && !password) lines.push({ field: "password", says: "Give your password to sign." });
    if (lines.length > 0) setState({ busy: false, lines, problem: null });
    else send("sign-off", body(), "Signed.");
  };
  const prepare = async () => {
    const lines = unanswered(seen, detail.case.record.events);
    if (lines.length > 0) return setState({ busy: false, lines, problem: null });
    try {
      await putIn({ case: id, revision, version, title, trainee_name: detail.trainee_name, operated_on: detail.case.record.operated_on, body: body() });
      announce("In the tray, not signed yet.");
      navigate("/inbox");
    } catch {
      setState({ busy: false, lines: [], problem: new ApiProblem(409, { title: "This browser keeps nothing", detail: "The tray needs it to. Sign this case by itself." }) });
    }
  };
  const giveBack = (/** @type {string} */ reason, /** @type {Api.Override[]} */ kept) => send("return", { reason, overrides: kept }, "Returned to the trainee.");
  return {
    ...state, stale: state.problem instanceof ApiProblem && state.problem.status === 412, sign, prepare, asks, password, setPassword, giveBack,
    faults: new Map(state.lines.map(line => [line.field, line.says])),
  };
}
