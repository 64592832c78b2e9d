// Saving and submitting a case. It saves itself while it is entered; a newer one from elsewhere is a conflict that the person decides.
import { useEffect, useRef, useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { get } from "../lib/api.js";
import { dayWords } from "../lib/days.js";
import { keep } from "../lib/keep.js";
import { navigate } from "../lib/navigate.js";
import { ApiProblem } from "../lib/problem.js";
import { at } from "../lib/session.js";
import { uuid7 } from "../lib/uuid.js";
import { toEnter, toSend, usual } from "../model/case-record.js";
import { CaseSaver } from "../model/case-saver.js";
import { needed } from "../model/kept-words.js";
import { asLines } from "./fault-summary.js";
import { enqueue, waiting } from "./outbox.js";

/** @typedef {{busy: boolean, lines: {field: string, says: string}[], problem: unknown, conflict?: Api.CaseDetail}} Sending */
/** How long a person waits for the server before what they entered is left to the queue, in ms. */
const patienceMS = 8000;

/** @type {Sending} */
const calm = { busy: false, lines: [], problem: null };

/**
 * @param {Api.CaseRecord} record @param {boolean} touched whether the person entered anything @param {Api.CaseDetail | undefined} detail
 * @param {(record: Api.CaseRecord) => void} setRecord @param {Api.Override[]} overrides of what the privacy screen stops in the note
 * @param {string} [unsent] the id of a case that the server does not have yet, or not like this
 */
export function useCaseSaving(record, touched, detail, setRecord, overrides, unsent) {
  const [saving, tell] = useState(/** @type {import("../model/case-saver.js").CaseSaving} */ ({ kind: detail ? "saved" : "new" }));
  const [state, setState] = useState(calm);
  const [id] = useState(() => unsent || detail?.case.id || uuid7());
  const newest = useRef(bodyOf(record, overrides));
  newest.current = bodyOf(record, overrides);
  const [saver] = useState(() => new CaseSaver({
    create: () => kept(id, newest.current), replace: (_, body, revision) => kept(id, body, revision),
    newKey: () => id, later: (call, ms) => { const timer = setTimeout(call, ms); return () => clearTimeout(timer); }, tell,
  }, detail?.case));
  useSavedByItself(saver, record, overrides, touched);
  const clash = async () => {
    const conflict = /** @type {Api.CaseDetail} */ (await get(at(`/cases/${id}`)));
    setState({ ...calm, conflict });
  };
  const refused = async (/** @type {unknown} */ error) => {
    saver.goOn();
    if (error instanceof ApiProblem && error.status === 412) { saver.stop(); return clash(); }
    const lines = error instanceof ApiProblem && error.errors.length > 0 ? asLines(error.byField("record")) : [];
    return setState({ ...calm, lines, problem: lines.length > 0 ? null : error });
  };
  useEffect(() => { if (saving.kind === "stale" && !state.busy) clash().catch(problem => setState({ ...calm, problem })); }, [saving.kind]);
  const save = async (/** @type {boolean} */ submit) => {
    setState({ ...calm, busy: true });
    try {
      saver.stop(); // the queue replaces what may still be on its way
      const now = await kept(id, bodyOf(record, overrides), saver.saved?.revision, submit ? "submit" : "");
      keep("last-case", JSON.stringify(usual(record)));
      announce(now.waits ? "Kept on this device. It is sent when the network is back." : submit ? "Submitted for sign-off." : "Draft saved.");
      return navigate(now.waits ? "/waiting" : `/cases/${id}`, { replace: true });
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
    ...state, id, saving: saving.kind === "saved" && waiting.value.some(one => one.id === id) ? { kind: /** @type {"kept"} */ ("kept") } : saving, saved: saver.saved, faults: new Map(state.lines.map(line => [line.field, line.says])),
    submit: (/** @type {Event} */ event) => { event.preventDefault(); save(true); },
    saveDraft: () => save(false),
    keepMine: () => rebase(record),
    takeTheirs: () => rebase(toEnter(state.conflict?.case.record || record)),
  };
}

/**
 * Keeps a case on the device and sends it; without a network it waits there, and that is no failure. The error is an ApiProblem.
 * @param {string} id @param {Api.CaseBody} body @param {number} [base] the revision it was made on @param {string} [then]
 * @returns {Promise<Api.CaseDetail & {waits: boolean}>} of the case: its id and revision
 */
async function kept(id, body, base, then = "") {
  const { outcome } = await enqueue("case", body, { id, base, then, name: `Case, ${dayWords(body.record.operated_on) || "no day yet"}` });
  const came = await Promise.race([outcome, new Promise(/** @param {(came: {kind: "waiting"}) => void} give */ give => setTimeout(() => give({ kind: "waiting" }), patienceMS))]);
  if (came.kind === "refused" || came.kind === "conflict") {
    const { status = 412, title, says, fields = [] } = came.entry.fault || {};
    throw new ApiProblem(came.kind === "conflict" ? 412 : status, { title, detail: says, errors: fields.map(([location, message]) => ({ location, message })) });
  }
  const revision = came.kind === "sent" ? came.theirs.revision : undefined; // what waits the queue knows the revision of
  return /** @type {any} */ ({ case: { id, revision }, waits: came.kind === "waiting" });
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
