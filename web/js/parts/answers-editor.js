// The answers of a scenario: expert plans and flawed ones with the letter each must get, drawn on the planner's own map.
import { useEffect, useState } from "preact/hooks";
import { addItem, inPlan, removeItem, writeField } from "../acts/scenario.js";
import { html } from "../lib/html.js";
import { plain, points } from "../lib/numbers.js";
import { Word } from "../lib/words.js";
import { countIn, gradeOf, inAnswer } from "../model/check.js";
import { choosesLesions, lesionSet } from "../model/plan-draft.js";
import { answerName, fieldOf, kinds, newExpert, newFlawed } from "../model/scenario-draft.js";
import { AtrialMap } from "./atrial-map.js";
import { Caution } from "./caution.js";
import { ConductionWords } from "./conduction-words.js";
import { DrawBar } from "./draw-bar.js";
import { CheckField, LongField, SelectField, TextField } from "./field.js";
import { PlanDecisions } from "./plan-decisions.js";
import { SeveritySign } from "./signs.js";
import { useConduction } from "./use-conduction.js";
import { useDrawing } from "./use-drawing.js";
import { Trouble } from "./waiting.js";

/** @typedef {import("../model/scenario-draft.js").AnswerPlace} AnswerPlace */
/** @typedef {{scenario: Api.ScenarioText, atrium: import("../model/atrium.js").Atrium, check?: Api.Check, stale: boolean, faults: Map<string, string>, onAct: (act: import("../acts/scenario.js").ScenarioAct) => void}} Part */

/** @param {Part & {open: AnswerPlace | null, onOpen: (place: AnswerPlace | null) => void}} props */
export function AnswersEditor({ open, onOpen, ...part }) {
  const { scenario, onAct } = part;
  const add = (/** @type {"expert" | "flawed"} */ kind) => {
    onAct(addItem(kind, kind === "expert" ? newExpert() : newFlawed(), kind === "expert" ? "an expert plan" : "a flawed plan"));
    onOpen({ kind, index: scenario[kind].length });
  };
  const shown = open && scenario[open.kind][open.index] ? open : null;
  return html`<div class="answers">
    <div class="answer-lists">
      ${kinds.map(kind => html`<section key=${kind} aria-label=${kind === "expert" ? "Expert plans" : "Flawed plans"} data-field=${kind}>
        <h2>${kind === "expert" ? "Expert plans" : "Flawed plans"}</h2>
        <p class="hint">${kind === "expert" ? "Each must be graded A or better. A trainee sees them after submitting." : "Each must get exactly its letter, for the findings you name. Never shown to a trainee: they test the scenario."}</p>
        ${part.faults.get(kind) && html`<p class="fault">${part.faults.get(kind)}</p>`}
        <ul class="rows">${scenario[kind].map((_, index) => html`<li key=${index}><${AnswerRow} ...${part} place=${{ kind, index }}
          chosen=${shown?.kind === kind && shown.index === index} onOpen=${onOpen} /></li>`)}</ul>
        <button type="button" class="quiet" onClick=${() => add(kind)}>${kind === "expert" ? "Add an expert plan" : "Add a flawed plan"}</button>
      </section>`)}
    </div>
    ${shown ? html`<${OneAnswer} key=${fieldOf(shown)} ...${part} place=${shown} onRemove=${() => { onAct(removeItem(shown.kind, shown.index, answerName(scenario, shown))); onOpen(null); }} />`
      : html`<p class="state">Choose an answer to draw it, or add one.</p>`}
  </div>`;
}

/** @param {Part & {place: AnswerPlace, chosen: boolean, onOpen: (place: AnswerPlace | null) => void}} props */
function AnswerRow({ scenario, check, stale, place, chosen, onOpen }) {
  const count = countIn(check?.faults || [], place);
  return html`<button type="button" class="row-button" aria-pressed=${chosen} onClick=${() => onOpen(chosen ? null : place)}>
    <span class="grade-letter">${gradeOf(check, scenario, place)?.letter || "-"}</span>
    <span>${answerName(scenario, place)}<small>${wantedWords(scenario, check, place)}${count > 0 ? `; ${count === 1 ? "1 fault" : `${count} faults`}` : ""}${stale ? "; being graded again" : ""}</small></span>
  </button>`;
}

/** The letter wanted against the letter got, in words. @param {Api.ScenarioText} scenario @param {Api.Check | undefined} check @param {AnswerPlace} place */
export function wantedWords(scenario, check, place) {
  const wanted = place.kind === "expert" ? "A or better" : scenario.flawed[place.index]?.letter, grade = gradeOf(check, scenario, place);
  if (!grade) return `wanted ${wanted}, not graded yet`;
  return grade.ok ? `wanted ${wanted}, gets ${grade.letter}` : `wanted ${wanted}, but gets ${grade.letter}${grade.missing_codes.length > 0 ? " without the findings named" : ""}`;
}

/** @param {Part & {place: AnswerPlace, onRemove: () => void}} props */
function OneAnswer({ place, onRemove, ...part }) {
  const { scenario, atrium, faults } = part, { kind, index } = place;
  const answer = scenario[kind][index], plan = answer.plan;
  const [lit, setLit] = useState(/** @type {Set<string>} */ (new Set()));
  const act = (/** @type {import("../acts/history.js").Act<Api.Plan>} */ one) => part.onAct(inPlan(kind, index, one));
  const drawn = useDrawing(atrium, plan, act, lit, setLit);
  const pen = choosesLesions(plan, scenario.asks) ? drawn : undefined;
  const conduction = useConduction(lesionSet(pen ? { ...plan, lesions: pen.lesions } : plan, scenario.patient));
  useEffect(() => { if (pen && plan.lesions.length > 0 && !conduction.on) conduction.start(); }, []);
  const pick = (/** @type {string} */ key) => setLit(before => (before.has(key) ? new Set() : new Set([key])));
  return html`<section class="answer" aria-label=${answerName(scenario, place)} data-field=${fieldOf(place)}>
    <div class="three answer-three">
      <div class="about"><${AnswerHead} ...${part} place=${place} /><${AnswerGrade} ...${part} place=${place} />
        <button type="button" class="quiet" onClick=${onRemove}>Remove this answer</button></div>
      <section class="drawing" aria-label="Map of the answer">
        <${AtrialMap} atrium=${atrium} lesions=${pen ? pen.shown : plan.lesions} appendage=${plan.left_appendage.state} result=${conduction.result} stale=${conduction.stale} lit=${lit} onPick=${pick} pen=${pen} />
        ${pen && html`<${DrawBar} atrium=${atrium} drawing=${pen} />`}
        <div class="bar"><button type="button" class="quiet" onClick=${conduction.on ? conduction.stop : conduction.start}>${conduction.on ? "Hide conduction" : "Check conduction"}</button></div>
        ${conduction.problem && html`<${Trouble} problem=${conduction.problem} />`}
        ${conduction.result && html`<${ConductionWords} result=${conduction.result} lit=${lit} onPick=${pick} /><${Caution} text=${conduction.result.caution} />`}
      </section>
      <div class="decisions" role="group" aria-label="Plan of this answer">
        <h3 class="first">The plan</h3>
        <${PlanDecisions} atrium=${atrium} plan=${plan} asks=${scenario.asks} onAct=${act} lit=${lit} faults=${inAnswer(faults, place)} pen=${drawn} />
      </div>
    </div>
  </section>`;
}

/** @param {Part & {place: AnswerPlace}} props */
function AnswerHead({ scenario, atrium, faults, onAct, place }) {
  const { kind, index } = place, answer = scenario[kind][index], flawed = kind === "flawed" ? scenario.flawed[index] : undefined;
  const bind = (/** @type {string} */ part, /** @type {any} */ value) => ({ name: `${fieldOf(place)}.${part}`, value, fault: faults.get(`${fieldOf(place)}.${part}`),
    onValue: (/** @type {unknown} */ next) => onAct(writeField([kind, index, part], next, `the ${part} of ${answerName(scenario, place)}`)) });
  return html`
    <${TextField} label=${kind === "expert" ? "Title of the expert plan" : "Title of the flawed plan"} ...${bind("title", answer.title)} maxlength=${120} />
    ${!flawed && html`<${LongField} label="Why an expert does so" ...${bind("why", scenario.expert[index].why)} rows=${5} maxlength=${2000} />`}
    ${flawed && html`<${SelectField} label="Letter it must get" ...${bind("letter", flawed.letter)} options=${atrium.facts.authoring.letters.map(id => ({ id, name: id }))} />
      <${CodesField} codes=${atrium.facts.authoring.codes} ...${bind("codes", flawed.codes)} />`}`;
}

/** The findings a flawed plan must raise, by the part of the grade they belong to. @param {{codes: Api.Authoring["codes"], name: string, value: string[], fault?: string, onValue: (codes: string[]) => void}} props */
function CodesField({ codes, name, value, fault, onValue }) {
  const parts = [...new Set(codes.map(one => one.part))];
  const toggle = (/** @type {string} */ code) => onValue(value.includes(code) ? value.filter(one => one !== code) : [...value, code]);
  return html`<fieldset class="checks codes" data-field=${name}><legend>Findings it must raise</legend>
    <p class="small">${value.length > 0 ? value.map(Word).join(", ") : "None named yet."}</p>
    ${fault && html`<p class="fault">${fault}</p>`}
    ${parts.map(part => html`<details key=${part}><summary>${Word(part)}</summary>${codes.filter(one => one.part === part && one.severity !== "remark").map(({ code }) => html`<${CheckField}
      key=${code} label=${Word(code)} value=${value.includes(code)} onValue=${() => toggle(code)} />`)}</details>`)}
  </fieldset>`;
}

/** What the answer is graded just now, beside the letter it should get. @param {Part & {place: AnswerPlace}} props */
export function AnswerGrade({ scenario, check, stale, place }) {
  const grade = gradeOf(check, scenario, place);
  if (!grade) return html`<div class="answer-grade" aria-live="polite"><p class="small">${stale ? "Being checked." : "Graded once the scenario has no other fault."}</p></div>`;
  return html`<div class=${stale ? "answer-grade stale" : "answer-grade"} aria-live="polite">
    <p class="strong">${grade.letter}, ${plain(grade.score, 2)} of 100</p>
    <p class=${grade.ok ? "" : "fault"}>${wantedWords(scenario, check, place)}${grade.missing_codes.length > 0 ? `. Not raised: ${grade.missing_codes.map(Word).join(", ")}` : ""}</p>
    <ul class="grade-findings">${(grade.findings || []).filter(one => one.severity !== "remark").map(one => html`<li><${SeveritySign} severity=${one.severity} /><span><span class="unseen">${Word(one.severity)}: </span>${one.what}<small>${Word(one.code)}</small></span><span class="amount">${points(one.points)}</span></li>`)}</ul>
    ${check?.caution && html`<${Caution} text=${check.caution} />`}
  </div>`;
}
