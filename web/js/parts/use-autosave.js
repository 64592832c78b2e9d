// The plan of an open test, saved by itself: after each change, when the page is hidden, and when the network is back.
import { useEffect, useRef, useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { get, put } from "../lib/api.js";
import { clockWords } from "../lib/days.js";
import { at } from "../lib/session.js";
import { dropTestDraft, keepTestDraft, keptTestDraft } from "../lib/test-draft.js";
import { Autosave } from "../model/autosave.js";
import { needed } from "../model/kept-words.js";
import { canonical, fromSaved, toSend } from "../model/plan-draft.js";

/** @typedef {import("../model/autosave.js").SaveState} SaveState */

/**
 * With what a test goes on: what this device has kept and the server does not know yet, else what the server has.
 * @param {Api.Sitting} sitting @returns {{start: Api.Plan, kept: boolean, clash: boolean}} clash: the server has another newer one
 */
export function startOf(sitting) {
  const kept = keptTestDraft(sitting.id), saved = fromSaved(sitting.plan);
  if (!kept || canonical(kept.plan) === canonical(saved)) return { start: saved, kept: false, clash: false };
  return { start: fromSaved(kept.plan), kept: true, clash: kept.revision !== sitting.revision };
}

/**
 * @param {Api.Sitting} sitting as it was read @param {Api.Plan} plan as it is now @param {boolean} kept whether it began with what the server does not have @param {boolean} clash
 * @param {(sitting: Api.Sitting) => void} onSaved @param {{current: Api.Override[]}} overrides of what the privacy screen stops in the note
 */
export function useAutosave(sitting, plan, kept, clash, onSaved, overrides) {
  const [state, setState] = useState(/** @type {SaveState} */ (clash ? { kind: "stale", theirs: sitting } : { kind: sitting.saved_at ? "saved" : "new", at: sitting.saved_at }));
  const last = useRef("");
  const tell = (/** @type {SaveState} */ next) => {
    const words = { offline: "No connection. The plan is kept on this device.", stale: "The plan was changed elsewhere. Choose which one to keep.", refused: "The plan was not saved: read why above it." }[/** @type {string} */ (next.kind)];
    if (words && last.current !== next.kind) announce(words);
    if (next.kind === "saved" && last.current === "offline") announce(`The connection is back. Saved at ${clockWords(next.at)}.`);
    if (words || next.kind === "saved") last.current = next.kind;
    setState(next);
  };
  const [saver] = useState(() => {
    const path = `/sittings/${sitting.id}`;
    const heard = (/** @type {Api.Sitting} */ answer) => { onSaved(answer); return answer; };
    return new Autosave({
      send: (one, revision) => put(at(`${path}/plan`), { plan: toSend(one, sitting.scenario.scenario.asks), overrides: needed(overrides.current, { "plan.note": one.note }) }, { revision }).then(answer => heard(/** @type {Api.Sitting} */ (answer))),
      newest: () => get(at(path)),
      keep: draft => keepTestDraft(sitting.id, draft), drop: () => dropTestDraft(sitting.id),
      later: (call, ms) => { const timer = setTimeout(call, ms); return () => clearTimeout(timer); },
      tell,
    }, sitting.revision, sitting.saved_at, clash);
  });
  const first = useRef(plan);
  useEffect(() => { if (plan !== first.current || (kept && !clash)) saver.change(plan); first.current = plan; }, [plan]);
  useEffect(() => {
    const flush = () => { saver.flush(); };
    const hidden = () => { if (document.visibilityState === "hidden") saver.flush(); };
    addEventListener("online", flush);
    document.addEventListener("visibilitychange", hidden);
    return () => { removeEventListener("online", flush); document.removeEventListener("visibilitychange", hidden); saver.flush(); };
  }, []);
  return { state, saver };
}
