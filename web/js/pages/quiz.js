// An attempt at questions: one at a time, saved by itself, and its result with feedback once it is over.
import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import { get, post } from "../lib/api.js";
import { timeWords } from "../lib/days.js";
import { html } from "../lib/html.js";
import { ApiProblem, inWords } from "../lib/problem.js";
import { useResource } from "../lib/resource.js";
import { at, session } from "../lib/session.js";
import { leftWords } from "../model/countdown.js";
import { answered, firstOpen, quizName } from "../model/quiz.js";
import { Caution } from "../parts/caution.js";
import { Page } from "../parts/page.js";
import { QuizResult } from "../parts/quiz-result.js";
import { Ask, Told, progress } from "../parts/quiz-question.js";
import { readMaps } from "../parts/quiz-map.js";
import { Places } from "../parts/quiz-places.js";
import { useCountdown } from "../parts/use-countdown.js";
import { useQuiz } from "../parts/use-quiz.js";
import { Show } from "../parts/waiting.js";

/** @param {{params: Record<string, string>}} props */
export function QuizPage({ params }) {
  const path = at(`/quizzes/${encodeURIComponent(params.attempt)}`);
  const quiz = useResource(path);
  const read = /** @type {Api.Quiz | undefined} */ (quiz.data);
  const own = read?.trainee === session.value?.person.id;
  const [late, setLate] = useState(0);
  const again = () => get(path).then(now => quiz.set(now), () => {}); // quietly: what is on the page stays there without a network
  return html`<${Page} title=${read ? quizName(read) : "Questions"} lead=${read && !own && read.trainee_name} kind="narrow-page">
    <${Show} of=${quiz} what="the questions">${(/** @type {Api.Quiz} */ now) => {
      if (now.status !== "open") return html`<${QuizResult} quiz=${now} own=${own} late=${late} />`;
      if (!own) return html`<p class="state">This is still open. Its questions are seen once it is over.</p><${Caution} text=${now.caution} />`;
      return html`<${Work} key=${now.id} quiz=${now} onNews=${quiz.set} again=${again} onLate=${setLate} />`;
    }}<//>
  <//>`;
}

/** How the saving stands, in words. @param {import("../model/quiz-saver.js").QuizState} state */
function saveWords({ kind, problem }) {
  switch (kind) {
    case "new": return "Answers save themselves.";
    case "changed": case "saving": return "Saving.";
    case "offline": return "No connection. Kept on this device, sent when it is back.";
    case "failed": return `Not saved: ${inWords(problem).title.toLowerCase()}. It is tried again.`;
    case "refused": return `Not saved: ${problem instanceof ApiProblem && problem.errors[0]?.message || inWords(problem).next}.`;
    case "stale": return "Not saved: choose which answers to keep.";
    default: return "Saved.";
  }
}

/** @param {{quiz: Api.Quiz, onNews: (quiz: Api.Quiz) => void, again: () => Promise<void>, onLate: (answers: number) => void}} props onLate: told how many answers the
 * server had not got when this ends */
function Work({ quiz, onNews, again, onLate }) {
  const { state, given, saver, note, set, settle, turn } = useQuiz(quiz, onNews);
  const [place, setPlace] = useState(() => firstOpen(quiz));
  const [asking, setAsking] = useState(false);
  const [problem, setProblem] = useState(/** @type {unknown} */ (null));
  const left = useCountdown(quiz.due_at, quiz.server_time), up = left === 0;
  const heading = useRef(/** @type {HTMLElement | null} */ (null)), went = useRef(false);
  useLayoutEffect(() => { if (went.current) heading.current?.focus(); }, [place]);
  useEffect(() => { if (state.kind === "over") again(); }, [state.kind]);
  useEffect(() => { readMaps(quiz.places || []); return () => onLate(saver.waiting.length); }, []);
  useEffect(() => {
    const back = () => { if (document.visibilityState === "visible") again(); };
    document.addEventListener("visibilitychange", back);
    return () => document.removeEventListener("visibilitychange", back);
  }, []);
  useEffect(() => {
    if (!up) return undefined;
    saver.flush();
    const timer = setInterval(again, 3000);
    return () => clearInterval(timer);
  }, [up]);
  if (up) return html`<section class="notice" role="alert"><p class="strong">The time is up.</p><p>What was saved by then is being marked. The page goes on by itself.</p></section>`;
  const places = quiz.places || [], now = places[place - 1], test = quiz.mode === "test", { theirs } = state;
  const go = (/** @type {number} */ to) => { turn(place); went.current = true; setAsking(false); setPlace(to); };
  const done = places.filter(one => answered(given[one.place])).length;
  const give = (/** @type {Api.QuizGiven} */ one) => { set(place, one); if (test) note(place, one); };
  const submit = async () => {
    setProblem(null);
    if (done < places.length && !asking) return setAsking(true);
    try {
      await saver.flush();
      onNews(await post(at(`/quizzes/${quiz.id}/submit`), undefined, { revision: saver.revision }));
    } catch (error) {
      if (error instanceof ApiProblem && error.kind === "test-over") return again();
      setProblem(error);
    }
    return undefined;
  };
  return html`
    <div class="sitting-line">
      ${test && html`<p><span class="strong" role="timer" aria-live="off">${leftWords(left ?? 0)} left</span></p>`}
      <p class=${`small saving ${state.kind}`}>${saveWords(state)}</p><p class="small">${progress(done, places.length)}</p>
    </div>
    ${state.kind === "stale" && theirs && html`<section class="notice" role="alert">
      <p class="strong">Your answers were changed elsewhere.</p><p>Another tab or device saved answers after this page was read.</p>
      <div class="bar"><button type="button" onClick=${() => settle(true, theirs)}>Keep mine on top</button><button type="button" class="quiet" onClick=${() => settle(false, theirs)}>Take the ones saved elsewhere</button></div>
    </section>`}
    <section class="quiz-question" aria-labelledby="question-title">
      <h2 id="question-title" tabindex="-1" ref=${heading}>Question ${place} of ${places.length}</h2>
      ${now.told ? html`<${Told} place=${now} />` : html`<${Ask} key=${`${place} ${state.kind === "stale"}`} question=${now.question} given=${given[place] || {}} onGiven=${give} />`}
      ${!test && !now.told && html`<button type="button" class="main-act" disabled=${!answered(given[place])} onClick=${() => { note(place, given[place]); saver.flush(); }}>Answer</button>`}
    </section>
    <div class="bar">
      <button type="button" class="quiet" disabled=${place === 1} onClick=${() => go(place - 1)}>Previous</button>
      <button type="button" class=${test || now.told ? undefined : "quiet"} disabled=${place === places.length} onClick=${() => go(place + 1)}>Next</button>
    </div>
    <${Places} places=${places} now=${place} answered=${(/** @type {Api.QuizPlace} */ one) => answered(given[one.place])} onPlace=${go} />
    ${asking && html`<p class="notice" role="alert">${places.length - done === 1 ? "1 question is" : `${places.length - done} questions are`} not answered. Press again to end all the same.</p>`}
    ${problem && html`<p class="fault" role="alert">${inWords(problem).title}. ${inWords(problem).next}</p>`}
    <div class="bar"><button type="button" class=${done === places.length ? "main-act" : "quiet"} disabled=${state.kind === "stale"} onClick=${submit}>${test ? "Submit the test" : "End and see the result"}</button></div>
    <p class="small">${test ? `It is marked at once and never changes. Time is up at ${timeWords(quiz.due_at)}: what is saved by then counts.` : `An answer is final, as its feedback follows. Open until ${timeWords(quiz.due_at)}.`}</p>
    ${!test && html`<${Caution} text=${quiz.caution} />`}`;
}
