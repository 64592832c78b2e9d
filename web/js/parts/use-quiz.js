// The answers of an open attempt as they are on the page, saved by themselves, with the time spent at each question.
import { useEffect, useRef, useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { get, put } from "../lib/api.js";
import { at } from "../lib/session.js";
import { dropQuizDraft, keepQuizDraft, keptQuizDraft } from "../lib/test-draft.js";
import { QuizSaver } from "../model/quiz-saver.js";

/** @param {Api.Quiz} quiz @returns {Record<number, Api.QuizGiven>} */
const givenIn = quiz => Object.fromEntries((quiz.places || []).map(one => [one.place, one.given]));

/** @param {Api.QuizChange[]} changes @returns {Record<number, Api.QuizGiven>} */
const mineIn = changes => Object.fromEntries(changes.map(one => [one.place, one.given]));

/** @param {Api.Quiz} quiz as it was read @param {(quiz: Api.Quiz) => void} onNews takes it as the server answered it */
export function useQuiz(quiz, onNews) {
  const [state, setState] = useState(/** @type {import("../model/quiz-saver.js").QuizState} */ ({ kind: quiz.saved_at ? "saved" : "new" }));
  const kept = useRef(keptQuizDraft(quiz.id)).current;
  const [given, setGiven] = useState(() => /** @type {Record<number, Api.QuizGiven>} */ ({ ...givenIn(quiz), ...mineIn(kept?.changes || []) }));
  const last = useRef("");
  const tell = (/** @type {import("../model/quiz-saver.js").QuizState} */ next) => {
    const words = { offline: "No connection. Your answers are kept on this device.", stale: "Answers were changed elsewhere. Choose which to keep.", refused: "The answer was not saved." }[/** @type {string} */ (next.kind)];
    if (words && last.current !== next.kind) announce(words);
    if (next.kind === "saved" && last.current === "offline") announce("The connection is back. Your answers are saved.");
    if (words || next.kind === "saved") last.current = next.kind;
    setState(next);
  };
  const [saver] = useState(() => {
    const path = `/quizzes/${quiz.id}`;
    return new QuizSaver({
      send: (changes, revision) => put(at(`${path}/replies`), { replies: changes }, { revision }).then(now => { onNews(/** @type {Api.Quiz} */ (now)); return /** @type {Api.Quiz} */ (now); }),
      newest: () => get(at(path)), keep: draft => keepQuizDraft(quiz.id, draft), drop: () => dropQuizDraft(quiz.id),
      later: (call, ms) => { const timer = setTimeout(call, ms); return () => clearTimeout(timer); }, tell,
    }, quiz.revision);
  });
  useEffect(() => {
    if (kept) saver.begin(kept, quiz);
    const flush = () => { saver.flush(); };
    const hidden = () => { if (document.visibilityState === "hidden") flush(); };
    addEventListener("online", flush);
    document.addEventListener("visibilitychange", hidden);
    return () => { removeEventListener("online", flush); document.removeEventListener("visibilitychange", hidden); flush(); };
  }, []);
  const spent = useRef(Object.fromEntries((quiz.places || []).map(one => [one.place, one.ms]))), since = useRef(performance.now());
  const turn = (/** @type {number} */ from) => { // the steady clock: a wall clock that is set makes no difference
    const now = performance.now();
    spent.current[from] = Math.round((spent.current[from] || 0) + now - since.current);
    since.current = now;
  };
  const note = (/** @type {number} */ place, /** @type {Api.QuizGiven} */ one) => { turn(place); saver.change({ place, given: one, ms: Math.min(spent.current[place], 86_400_000) }); };
  const set = (/** @type {number} */ place, /** @type {Api.QuizGiven} */ one) => setGiven(before => ({ ...before, [place]: one }));
  const settle = (/** @type {boolean} */ mine, /** @type {Api.Quiz} */ theirs) => { // what is not in question is theirs either way
    setGiven({ ...givenIn(theirs), ...(mine ? mineIn(saver.waiting) : {}) });
    onNews(theirs);
    return saver.settle(mine, theirs);
  };
  return { state, given, saver, note, set, settle, turn };
}
