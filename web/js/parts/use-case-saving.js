// Saving and submitting a case. It saves itself while it is entered; a newer one from elsewhere is a conflict that the person decides.
import { useEffect, useRef, useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { get, post, put } from "../lib/api.js";
import { keep } from "../lib/keep.js";
import { navigate } from "../lib/navigate.js";
import { ApiProblem } from "../lib/problem.js";
import { at } from "../lib/session.js";
import { uuid } from "../lib/uuid.js";
import { toEnter, toSend, usual } from "../model/case-record.js";
import { CaseSaver } from "../model/case-saver.js";
import { needed } from "../model/kept-words.js";
import { asLines } from "./fault-summary.js";

/** @typedef {{busy: boolean, lines: {field: string, says: string}[], problem: unknown, conflict?: Api.CaseDetail}} Sending */
/** @type {Sending} */
const calm = { busy: false, lines: [], problem: null };

/**
 * @param {Api.CaseRecord} record @param {boolean} touched whether the person entered anything @param {Api.CaseDetail | undefined} detail
 * @param {(record: Api.CaseRecord) => void} setRecord @param {Api.Override[]} overrides of what the privacy screen stops in the note
 */
export function useCaseSaving(record, touched, detail, setRecord, overrides) {
  const [saving, tell] = useState(/** @type {import("../model/case-saver.js").CaseSaving} */ ({ kind: detail ? "saved" : "new" }));
  const [state, setState] = useState(calm);
  const [saver] = useState(() => new CaseSaver({
    create: (body, key) => post(at("/cases"), body, { key }),
    replace: (id, body, revision) => put(at(`/cases/${id}`), body, { revision }),
    newKey: uuid, later: (call, ms) => { const timer = setTimeout(call, ms); return () => clearTimeout(timer); }, tell,
  }, detail?.case));
  useSavedByItself(saver, record, overrides, touched);
  const clash = async () => {
    const conflict = /** @type {Api.CaseDetail} */ (await get(at(`/cases/${saver.saved?.id}`)));
    setState({ ...calm, conflict });
  };
  const refused = async (/** @type {unknown} */ error) => {
    saver.goOn();
    if (error instanceof ApiProblem && error.status === 412 && saver.saved) { saver.stop(); return clash(); }
    const lines = error instanceof ApiProblem && error.errors.length > 0 ? asLines(error.byField("record")) : [];
    return setState({ ...calm, lines, problem: lines.length > 0 ? null : error });
  };
  useEffect(() => { if (saving.kind === "stale" && !state.busy) clash().catch(problem => setState({ ...calm, problem })); }, [saving.kind]);
  const save = async (/** @type {boolean} */ submit) => {
    setState({ ...calm, busy: true });
    try {
      const saved = await saver.save(bodyOf(record, overrides));
      if (!saved) return setState(calm);
      keep("last-case", JSON.stringify(usual(record)));
      if (submit) await post(at(`/cases/${saved.id}/submission`), {}, { revision: saved.revision });
      saver.stop();
      announce(submit ? "Submitted for sign-off." : "Draft saved.");
      return navigate(`/cases/${saved.id}`, { replace: true });
    } catch (error) {
      return refused(error).catch(problem => setState({ ...calm, problem }));
    }
  };
  const rebase = (/** @type {Api.CaseRecord} */ chosen) => {
    saver.goOn(state.conflict?.case);
    saver.change(bodyOf(chosen, overrides));
    setRecord(chosen);
    setState(calm);
  };
  return {
    ...state, saving, saved: saver.saved, faults: new Map(state.lines.map(line => [line.field, line.says])),
    submit: (/** @type {Event} */ event) => { event.preventDefault(); save(true); },
    saveDraft: () => save(false),
    keepMine: () => rebase(record),
    takeTheirs: () => rebase(toEnter(state.conflict?.case.record || record)),
  };
}

/** What is sent of a case. @param {Api.CaseRecord} record @param {Api.Override[]} overrides @returns {Api.CaseBody} */
function bodyOf(record, overrides) {
  const sent = toSend(record);
  return { record: sent, overrides: needed(overrides, { "record.note": sent.note }) };
}

/**
 * Saves after each change, when the page is hidden or left, and when the network is back.
 * @param {CaseSaver} saver @param {Api.CaseRecord} record @param {Api.Override[]} overrides @param {boolean} touched
 */
function useSavedByItself(saver, record, overrides, touched) {
  const last = useRef({ record, overrides });
  useEffect(() => {
    if (touched && (last.current.record !== record || last.current.overrides !== overrides)) saver.change(bodyOf(record, overrides));
    last.current = { record, overrides };
  }, [record, overrides, touched]);
  useEffect(() => {
    const flush = () => { saver.flush(); };
    const hidden = () => { if (document.visibilityState === "hidden") saver.flush(); };
    addEventListener("online", flush);
    document.addEventListener("visibilitychange", hidden);
    return () => { removeEventListener("online", flush); document.removeEventListener("visibilitychange", hidden); saver.flush(); };
  }, []);
}
