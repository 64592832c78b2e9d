// Rating for a panel: one question at a time with its answer, by slider or number, saved by itself; what could not be saved outlives a reload. In the second round with what all judges said in the first.
import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import { put } from "../lib/api.js";
import { announce } from "../lib/announce.js";
import { html } from "../lib/html.js";
import { plain } from "../lib/numbers.js";
import { inWords } from "../lib/problem.js";
import { forgetUnsaved, keepUnsaved, unsaved } from "../lib/unsaved.js";
import { rateHint } from "./panel-words.js";
import { QuestionReading } from "./question-reading.js";

/** How long after the last change it is saved, in ms. */
const rest = 500;

/** What a page that was closed could not save. @param {string} name @returns {Record<string, number>} */
const unsavedRatings = name => unsaved(name) || {};

/** @param {{now: Api.PanelDetail, path: string, onNews: (panel: Api.PanelDetail) => void}} props */
export function PanelRate({ now, path, onNews }) {
  const { questions } = now, name = `ratings ${path} ${now.round}`; // the round's own: what was said in an earlier one is over
  const [left] = useState(() => unsavedRatings(name)), saved = { ...now.own?.ratings, ...left };
  const [ratings, setRatings] = useState(/** @type {Record<string, number>} */ (saved));
  const [place, setPlace] = useState(() => Math.max(0, questions.findIndex(one => saved[one.name] === undefined)));
  const [state, setState] = useState(/** @type {{kind: string, problem?: unknown}} */ ({ kind: "rest" }));
  const waiting = useRef(left), timer = useRef(0), went = useRef(false);
  const heading = useRef(/** @type {HTMLElement | null} */ (null));
  useLayoutEffect(() => { if (went.current) heading.current?.focus(); }, [place]);
  const flush = async () => {
    clearTimeout(timer.current);
    const sent = waiting.current;
    if (Object.keys(sent).length === 0) return;
    waiting.current = {};
    setState({ kind: "saving" });
    try {
      onNews(await put(`${path}/ratings`, { ratings: sent }));
      forgetUnsaved(name);
      if (Object.keys(waiting.current).length > 0) keepUnsaved(name, waiting.current);
      setState({ kind: "saved" });
    } catch (problem) {
      waiting.current = { ...sent, ...waiting.current };
      setState({ kind: "failed", problem });
      announce("Not saved.");
    }
  };
  const last = useRef(flush);
  last.current = flush;
  useEffect(() => {
    const again = () => { last.current(); };
    const hidden = () => { if (document.visibilityState === "hidden") last.current(); };
    addEventListener("online", again);
    document.addEventListener("visibilitychange", hidden);
    again();
    return () => { removeEventListener("online", again); document.removeEventListener("visibilitychange", hidden); last.current(); };
  }, []);
  const one = questions[place], value = ratings[one.name], spread = now.rounds[0]?.items[place];
  const rate = (/** @type {string} */ text) => {
    if (text === "") return;
    const next = Math.min(100, Math.max(0, Math.round(Number(text) || 0)));
    setRatings({ ...ratings, [one.name]: next });
    waiting.current = { ...waiting.current, [one.name]: next };
    keepUnsaved(name, { ...unsavedRatings(name), ...waiting.current });
    setState({ kind: "changed" });
    clearTimeout(timer.current);
    timer.current = window.setTimeout(() => last.current(), rest);
  };
  const go = (/** @type {number} */ to) => { went.current = true; flush(); setPlace(to); };
  const done = questions.filter(q => ratings[q.name] !== undefined).length;
  return html`<section class="panel-rate" aria-labelledby="rate-title">
    <h2 id="rate-title" tabindex="-1" ref=${heading}>Question ${place + 1} of ${questions.length}</h2>
    <p class="small" role="status">${done} of ${questions.length} rated. ${words(state)}</p>
    <progress max=${questions.length} value=${done} aria-label="Questions rated"></progress>
    <${QuestionReading} item=${one.item} />
    ${spread && html`<p class=${spread.discuss ? "notice" : undefined}>In round 1 the judges said ${plain(spread.mean, 0)} on average, from ${plain(spread.least, 0)} to ${plain(spread.most, 0)}${spread.deviation === undefined ? "" : ` (standard deviation ${plain(spread.deviation, 0)})`}; you ${plain(now.previous?.ratings?.[one.name] ?? 0, 0)}.${spread.discuss ? " To discuss: they are far apart." : ""}</p>`}
    <div class="field rating"><label for="rating">${rateHint}</label>
      <input type="range" min="0" max="100" step="1" value=${value ?? 50} aria-label=${`${rateHint} Slider`} aria-valuetext=${value === undefined ? "not rated" : `${value} of 100`} onInput=${(/** @type {any} */ event) => rate(event.target.value)} />
      <span class="with-unit"><input id="rating" type="number" inputmode="numeric" min="0" max="100" value=${value ?? ""} onInput=${(/** @type {any} */ event) => rate(event.target.value)} /><span>of 100</span></span>
    </div>
    <div class="bar"><button type="button" class="quiet" disabled=${place === 0} onClick=${() => go(place - 1)}>Previous</button>
      <button type="button" class=${value === undefined ? "quiet" : "main-act"} disabled=${place === questions.length - 1} onClick=${() => go(place + 1)}>Next</button></div>
    ${done === questions.length && html`<p class="strong">Everything is rated. You can change it until the round is closed.</p>`}
  </section>`;
}

/** @param {{kind: string, problem?: unknown}} state */
function words({ kind, problem }) {
  switch (kind) {
    case "changed": case "saving": return "Saving.";
    case "saved": return "Saved.";
    case "failed": return `Not saved: ${inWords(problem).title.toLowerCase()}. It is sent again with the next change or when the connection is back.`;
    default: return "Ratings save themselves. Nobody else sees them before the round is closed.";
  }
}
