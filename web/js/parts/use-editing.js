// Writing in a draft: the history of the form, saving it on the revision it was read at, and what happens when someone else saved meanwhile.
import { useEffect, useRef, useState } from "preact/hooks";
import { History } from "../acts/history.js";
import { replaceScenario } from "../acts/scenario.js";
import { announce } from "../lib/announce.js";
import { get, put } from "../lib/api.js";
import { ApiProblem } from "../lib/problem.js";
import { at } from "../lib/session.js";
import { forgetUnsaved, keepUnsaved, unsaved } from "../lib/unsaved.js";
import { differences } from "../model/scenario-difference.js";
import { toSend, whole } from "../model/scenario-draft.js";

/** A draft saves itself after this pause, so that the audit trail has an entry a sitting and not one a word. */
const pauseMS = 15000;

/** @typedef {{scenario: Api.ScenarioText, revision: number}} Saved */

/** @param {Api.EditionDetail} detail @returns {Saved} */
const savedFrom = detail => ({ scenario: whole(detail.scenario), revision: detail.head.revision });

/** What was written here and not saved, with the revision it was written on; else what is saved. @param {Api.EditionDetail} detail */
function begin(detail) {
  const now = savedFrom(detail), left = /** @type {{scenario: Api.ScenarioText, base: Saved} | undefined} */ (unsaved(detail.head.id));
  if (!left) return { base: now, history: new History(now.scenario) };
  return { base: left.base, history: new History(left.base.scenario).after(replaceScenario(left.scenario, "what was not saved")) };
}

/** @param {Api.EditionDetail} detail @param {(detail: Api.EditionDetail) => void} onSaved */
export function useEditing(detail, onSaved) {
  const id = detail.head.id, path = at(`/library/${encodeURIComponent(id)}`);
  const [start] = useState(() => begin(detail));
  const [history, setHistory] = useState(start.history);
  const [state, setState] = useState(/** @type {{base: Saved, busy: boolean, problem: unknown, conflict?: Api.EditionDetail}} */ ({ base: start.base, busy: false, problem: null }));
  const scenario = history.now, dirty = JSON.stringify(toSend(scenario)) !== JSON.stringify(toSend(state.base.scenario));
  const latest = useRef({ scenario, dirty, state });
  latest.current = { scenario, dirty, state };

  /** Saves on a revision, and gives what is saved then, or null. @param {Api.ScenarioText} what @param {number} revision @returns {Promise<Api.EditionDetail | null>} */
  const saveOn = async (what, revision) => {
    setState(before => ({ ...before, busy: true, problem: null, conflict: undefined }));
    try {
      const detail = /** @type {Api.EditionDetail} */ (await put(path, { scenario: toSend(what) }, { revision }));
      setState({ base: { scenario: what, revision: detail.head.revision }, busy: false, problem: null });
      forgetUnsaved(id);
      announce("Saved.");
      onSaved(detail);
      return detail;
    } catch (error) {
      const newest = /** @type {Api.EditionDetail | null} */ (error instanceof ApiProblem && error.status === 412 ? await get(path).catch(() => null) : null);
      if (newest && differences(what, whole(newest.scenario)).length === 0) { // someone, or this page as it was left, saved the same
        setState({ base: { scenario: what, revision: newest.head.revision }, busy: false, problem: null });
        forgetUnsaved(id);
        onSaved(newest);
        return newest;
      }
      setState(before => ({ ...before, busy: false, problem: newest ? null : error, conflict: newest || undefined }));
      return null;
    }
  };
  const save = () => saveOn(scenario, state.base.revision);
  const take = (/** @type {Api.ScenarioText} */ merged) => {
    const { conflict } = state;
    if (!conflict) return;
    setHistory(before => before.after(replaceScenario(merged, "the choice between two versions")));
    setState(before => ({ ...before, base: savedFrom(conflict) }));
    saveOn(merged, conflict.head.revision);
  };
  useKept(id, latest, dirty, scenario, state, saveOn);
  return {
    ...state, scenario, dirty, history, save, take, path,
    act: (/** @type {import("../acts/scenario.js").ScenarioAct} */ one) => setHistory(before => before.after(one)),
    undo: () => { if (history.undoes) { announce(`Undone: ${history.undoes}`); setHistory(before => before.undone()); } },
    redo: () => { if (history.redoes) { announce(`Done again: ${history.redoes}`); setHistory(before => before.redone()); } },
  };
}

/** Keeps what is not saved in the tab, saves after a pause and when the page is left, and lets the browser ask before closing the tab.
 * @param {string} id @param {{current: {scenario: Api.ScenarioText, dirty: boolean, state: any}}} latest @param {boolean} dirty @param {Api.ScenarioText} scenario @param {any} state
 * @param {(what: Api.ScenarioText, revision: number) => Promise<unknown>} saveOn */
function useKept(id, latest, dirty, scenario, state, saveOn) {
  const free = dirty && !state.busy && !state.conflict && !state.problem;
  useEffect(() => {
    if (!dirty) forgetUnsaved(id);
    else keepUnsaved(id, { scenario, base: state.base });
    const timer = free ? setTimeout(() => saveOn(scenario, state.base.revision), pauseMS) : undefined;
    return () => clearTimeout(timer);
  }, [scenario, dirty, free]);
  useEffect(() => {
    const ask = (/** @type {Event} */ event) => { if (latest.current.dirty) event.preventDefault(); };
    addEventListener("beforeunload", ask);
    return () => {
      removeEventListener("beforeunload", ask);
      const { dirty: left, state: last, scenario: written } = latest.current;
      if (left && !last.conflict && !last.busy) saveOn(written, last.base.revision);
    };
  }, []);
}
