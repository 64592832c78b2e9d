// The draft of a programme's own test: rows of topics with what the bank has for them, or a fixed form of chosen questions in order.
import { useEffect, useState } from "preact/hooks";
import { post } from "../lib/api.js";
import { html } from "../lib/html.js";
import { counted } from "../lib/numbers.js";
import { at } from "../lib/session.js";
import { word } from "../lib/words.js";
import { shifted } from "../model/own-test.js";
import { TopicWords } from "../model/quiz.js";
import { CheckField, NumberField, SelectField, TextField } from "./field.js";

const difficulties = ["easy", "middling", "hard"];

/** What the server says of a plan, a moment after it was changed. @param {Api.TestPlan} plan @param {Api.TestCheck} first */
export function useTestCheck(plan, first) {
  const [check, setCheck] = useState(first);
  useEffect(() => {
    let gone = false;
    const timer = setTimeout(() => post(at("/test-check"), { plan }).then(found => { if (!gone) setCheck(/** @type {Api.TestCheck} */ (found)); }, () => {}), 250);
    return () => { gone = true; clearTimeout(timer); };
  }, [JSON.stringify(plan)]);
  return check;
}

/** @param {{plan: Api.TestPlan, check: Api.TestCheck, heads: Api.QuestionHead[], onPlan: (plan: Api.TestPlan) => void}} props */
export function TestEditor({ plan, check, heads, onPlan }) {
  const live = heads.filter(head => head.live_version > 0);
  const topics = [...new Set(live.map(head => head.topic))].sort();
  const [fixed, setFixed] = useState((plan.fixed || []).length > 0);
  const turn = (/** @type {string} */ kind) => {
    setFixed(kind === "fixed");
    onPlan({ ...plan, rows: kind === "fixed" ? undefined : [], fixed: kind === "fixed" ? [] : undefined });
  };
  return html`
    <div class="form-columns">
      <${TextField} label="What it is called" name="plan.title" maxlength=${120} value=${plan.title} onValue=${(/** @type {string} */ title) => onPlan({ ...plan, title })} />
      <${NumberField} label="Time" name="plan.minutes" unit="minutes" min=${1} max=${480} value=${plan.minutes} onValue=${(/** @type {number} */ minutes) => onPlan({ ...plan, minutes: Math.round(minutes) })} />
      <${SelectField} label="Which questions" name="kind" value=${fixed ? "fixed" : "drawn"} options=${[{ id: "drawn", name: "Drawn by topic, anew for each trainee" }, { id: "fixed", name: "A fixed form" }]} onValue=${turn} />
    </div>
    <${CheckField} label="A wrong answer to a single best answer costs points, so that guessing gains nothing on average" name="plan.negative" value=${Boolean(plan.negative)} onValue=${(/** @type {boolean} */ negative) => onPlan({ ...plan, negative: negative || undefined })} />
    ${fixed ? html`<${Fixed} plan=${plan} live=${live} topics=${topics} onPlan=${onPlan} />` : html`<${Rows} plan=${plan} check=${check} topics=${topics} onPlan=${onPlan} />`}`;
}

/** @param {{plan: Api.TestPlan, check: Api.TestCheck, topics: string[], onPlan: (plan: Api.TestPlan) => void}} props */
function Rows({ plan, check, topics, onPlan }) {
  const rows = plan.rows || [];
  const set = (/** @type {Api.TestPlan["rows"]} */ next) => onPlan({ ...plan, rows: next });
  return html`<fieldset class="group"><legend>Questions by topic</legend>
    ${rows.length === 0 && html`<p>No row yet.</p>`}
    ${rows.map((row, i) => {
      const supply = check.supply[i], change = (/** @type {Partial<typeof row>} */ part) => set(rows.map((one, j) => (j === i ? { ...one, ...part } : one)));
      return html`<div class="form-columns test-row" key=${i} role="group" aria-label=${`Row ${i + 1}`}>
        <${SelectField} label="Topic" name=${`rows[${i}].topic`} value=${row.topic} options=${topics.map(id => ({ id, name: TopicWords(id) }))} onValue=${(/** @type {string} */ topic) => change({ topic })} />
        <${SelectField} label="Difficulty" name=${`rows[${i}].difficulty`} value=${row.difficulty || ""} choose="Any" options=${difficulties.map(id => ({ id, name: word(id) }))} onValue=${(/** @type {string} */ difficulty) => change({ difficulty: difficulty || undefined })} />
        <${NumberField} label="How many" name=${`rows[${i}].items`} min=${1} max=${200} value=${row.items} onValue=${(/** @type {number} */ items) => change({ items: Math.round(items) })} />
        <div><p class="small">${supply ? supplyWords(supply) : "Being counted."}</p><button type="button" class="quiet" onClick=${() => set(rows.filter((_, j) => j !== i))}>Take row ${i + 1} out</button></div>
      </div>`;
    })}
    <button type="button" class="quiet" onClick=${() => set([...rows, { topic: topics.find(topic => !rows.some(row => row.topic === topic)) || topics[0], items: 3 }])}>Add a row</button>
  </fieldset>`;
}

/** What the bank has for a row. @param {Api.TestSupply} supply */
function supplyWords({ asked, live, drawn, by_difficulty: by }) {
  const hard = difficulties.filter(one => by[one]).map(one => `${by[one]} ${word(one)}`).join(", ");
  const short = drawn < asked ? ` Only ${drawn} can be drawn: some give others away, or other rows take them.` : "";
  return `The bank has ${counted(live, "live question")}${hard ? ` (${hard})` : ""}.${short}`;
}

/** @param {{plan: Api.TestPlan, live: Api.QuestionHead[], topics: string[], onPlan: (plan: Api.TestPlan) => void}} props */
function Fixed({ plan, live, topics, onPlan }) {
  const fixed = plan.fixed || [];
  const [topic, setTopic] = useState(topics[0] || ""), [next, setNext] = useState("");
  const set = (/** @type {Api.TestPlan["fixed"]} */ list) => onPlan({ ...plan, fixed: list });
  const offered = live.filter(head => head.topic === topic && !fixed.some(ref => ref.item === head.id));
  const add = (/** @type {string} */ id) => { const head = live.find(one => one.id === id); if (head) { set([...fixed, { item: head.id, version: head.live_version }]); setNext(""); } };
  return html`<fieldset class="group"><legend>Questions in their order</legend>
    ${fixed.length === 0 ? html`<p>No question yet.</p>` : html`<ol class="steps">${fixed.map((ref, i) => {
      const head = live.find(one => one.id === ref.item), stem = head?.stem || ref.item, newer = head && head.live_version !== ref.version;
      return html`<li key=${ref.item}><span class="step-name">${stem}<small class="line">${head ? `${TopicWords(head.topic)}, ${word(head.difficulty)}, version ${ref.version}` : "Not live any more"}</small>
        ${newer && html`<button type="button" class="quiet" onClick=${() => set(fixed.map((one, j) => (j === i ? { ...one, version: head.live_version } : one)))}>Take version ${head.live_version}, which is asked now</button>`}</span>
        <span class="bar"><button type="button" class="quiet" aria-label=${`Up: ${stem}`} disabled=${i === 0} onClick=${() => set(shifted(fixed, i, -1))}>Up</button>
        <button type="button" class="quiet" aria-label=${`Down: ${stem}`} disabled=${i === fixed.length - 1} onClick=${() => set(shifted(fixed, i, 1))}>Down</button>
        <button type="button" class="quiet" aria-label=${`Take out: ${stem}`} onClick=${() => set(fixed.filter((_, j) => j !== i))}>Take out</button></span></li>`;
    })}</ol>`}
    <${SelectField} label="Topic of the next" value=${topic} options=${topics.map(id => ({ id, name: TopicWords(id) }))} onValue=${setTopic} />
    <${SelectField} label="Next question" value=${next} choose="Choose one" options=${offered.map(head => ({ id: head.id, name: head.stem }))} onValue=${setNext} />
    <button type="button" class="quiet" disabled=${!next} onClick=${() => add(next)}>Add the question</button>
  </fieldset>`;
}
