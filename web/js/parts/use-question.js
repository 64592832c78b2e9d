// A question being written: saved by itself a moment after each change, checked while one writes, and the choice when someone else saved meanwhile.
import { useEffect, useRef, useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { get, post, put } from "../lib/api.js";
import { ApiProblem } from "../lib/problem.js";
import { at } from "../lib/session.js";

/** How long writing must pause before it is checked, and before it is saved, in ms. */
const checkMS = 500, saveMS = 2000;

/** What the check finds in a question. @param {Api.QuestionText} item @param {Api.QuestionCheck} first as it was read */
export function useQuestionCheck(item, first) {
  const wanted = JSON.stringify(item);
  const [state, setState] = useState({ of: wanted, result: first, problem: /** @type {unknown} */ (null) });
  useEffect(() => {
    if (wanted === state.of) return undefined;
    const abort = new AbortController();
    const timer = setTimeout(() => {
      /** @type {Promise<Api.QuestionCheck>} */ (post(at("/question-check"), { item: JSON.parse(wanted) }, { signal: abort.signal })).then(
        result => setState({ of: wanted, result, problem: null }),
        problem => { if (!abort.signal.aborted) setState(before => ({ ...before, problem })); });
    }, checkMS);
    return () => { clearTimeout(timer); abort.abort(); };
  }, [wanted]);
  return { ...state.result, stale: state.of !== wanted, problem: state.problem };
}

/** @param {Api.QuestionDetail} detail @param {(detail: Api.QuestionDetail) => void} onSaved */
export function useQuestion(detail, onSaved) {
  const path = at(`/questions/${encodeURIComponent(detail.head.id)}`);
  const [item, setItem] = useState(detail.item);
  const [state, setState] = useState(/** @type {{saved: Api.QuestionText, revision: number, busy: boolean, problem: unknown, theirs?: Api.QuestionDetail}} */ ({
    saved: detail.item, revision: detail.head.revision, busy: false, problem: null }));
  const dirty = JSON.stringify(item) !== JSON.stringify(state.saved);
  const latest = useRef({ item, state, dirty });
  latest.current = { item, state, dirty };
  /** Saves what is given, and gives the revision then, or nothing. @param {Api.QuestionText} what @param {number} revision */
  const saveOn = async (what, revision) => {
    setState(before => ({ ...before, busy: true, problem: null, theirs: undefined }));
    try {
      const now = /** @type {Api.QuestionDetail} */ (await put(path, { item: what }, { revision }));
      setState({ saved: what, revision: now.head.revision, busy: false, problem: null });
      announce("Saved.");
      onSaved(now);
      return now.head.revision;
    } catch (problem) {
      const theirs = /** @type {Api.QuestionDetail | undefined} */ (problem instanceof ApiProblem && problem.status === 412 ? await get(path).catch(() => undefined) : undefined);
      setState(before => ({ ...before, busy: false, problem: theirs ? null : problem, theirs }));
      return undefined;
    }
  };
  const save = () => saveOn(item, state.revision);
  /** Saves what was chosen from mine and theirs on top of theirs. @param {Api.QuestionText} merged */
  const take = merged => {
    if (!state.theirs) return;
    setItem(merged);
    saveOn(merged, state.theirs.head.revision);
  };
  const free = dirty && !state.busy && !state.theirs && !state.problem;
  useEffect(() => {
    const timer = free ? setTimeout(save, saveMS) : undefined;
    return () => clearTimeout(timer);
  }, [item, free]);
  useEffect(() => {
    const ask = (/** @type {Event} */ event) => { if (latest.current.dirty) event.preventDefault(); };
    addEventListener("beforeunload", ask);
    return () => {
      removeEventListener("beforeunload", ask);
      const { dirty: left, state: last, item: written } = latest.current;
      if (left && !last.theirs && !last.busy) saveOn(written, last.revision);
    };
  }, []);
  return { ...state, path, item, dirty, save, take, act: (/** @type {Partial<Api.QuestionText>} */ change) => setItem(before => ({ ...before, ...change })), replace: setItem };
}
