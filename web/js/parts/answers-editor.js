// The answers of a scenario: expert plans and flawed ones with the letter each must get, drawn on the planner's own map.
import { useEffect, useState } from "preact/hooks";
import { addItem, inPlan, removeItem, writeField } from "../acts/scenario.js";
import { html } from "../lib/html.js";
import { plain, points } from "../lib/numbers.js";
import { Word } from "../lib/words.js";
import { countIn, gradeOf, inAnswer } from "../model/check.js";
import { choosesLesions, lesionSet } from "../model/plan-draft.js";
import { answerName, fieldOf, kinds, newExpert, newFlawed } from "../model/scenario-draft.js";
import { workOf } from "../model/recognised.js";
import { Caution } from "./caution.js";
import { ConductionPanel } from "./conduction-panel.js";
import { CheckField, LongField, SelectField, TextField } from "./field.js";
import { PlanDecisions } from "./plan-decisions.js";
import { PlanMap } from "./planning-panes.js";
import { SeveritySign } from "./signs.js";
import { useActivation } from "./use-activation.js";
import { useConduction } from "./use-conduction.js";
import { useDrawing } from "./use-drawing.js";
import { Trouble } from "./waiting.js";

/** @typedef {import("../model/scenario-draft.js").AnswerPlace} AnswerPlace */
/**
 * history: undo and redo of the whole form; penNow: what is being drawn, which undo asks first; patient, wavelength: what conduction is computed with
 * @typedef {{scenario: Api.ScenarioText, atrium: import("../model/atrium.js").Atrium, check?: Api.Check, stale: boolean, faults: Map<string, string>, onAct: (act: import("../acts/scenario.js").ScenarioAct) => void,
 *   history: {undo: () => void, redo: () => void, undoes: string, redoes: string}, penNow: {current: import("./use-drawing.js").Drawing | undefined}, patient: Api.Patient, wavelength?: Api.Wavelength}} Part
 */

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
  const { plan } = scenario[kind][index];
  const planning = useAnswerPlanning(part, place);
  const { pen, lit, pick } = planning;
  const set = lesionSet(pen ? { ...plan, lesions: pen.lesions } : plan, part.patient, part.wavelength);
  const conduction = useConduction(set), activation = useActivation(atrium, set);
  const { result, stale } = conduction;
  useEffect(() => { if ((planning.drawing || plan.lesions.length > 0) && !conduction.on) conduction.start(); }, [planning.drawing]);
  const toggle = html`<button type="button" class="quiet" onClick=${conduction.on ? conduction.stop : conduction.start}>${conduction.on ? "Hide conduction" : "Check conduction"}</button>
    ${!activation.on && html`<button type="button" class="quiet" onClick=${activation.start}>Show activation</button>`}`;
  return html`<section class="answer" aria-label=${answerName(scenario, place)} data-field=${fieldOf(place)}>
    <div class="three answer-three">
      <div class="about"><div><${AnswerHead} ...${part} place=${place} /></div><div><${AnswerGrade} ...${part} place=${place} />
        <button type="button" class="quiet" onClick=${onRemove}>Remove this answer</button></div></div>
      <${PlanMap} atrium=${atrium} planning=${planning} result=${result} stale=${stale} act=${toggle} activation=${activation}>
        ${conduction.problem && html`<${Trouble} problem=${conduction.problem} />`}
        ${result && html`<${ConductionPanel} atrium=${atrium} set=${set} result=${result} stale=${stale} lit=${lit} onPick=${pick} />`}
      <//>
      <div class="decisions" role="group" aria-label="Plan of this answer">
        <h2 class="first">The plan</h2>
        <${PlanDecisions} atrium=${atrium} plan=${plan} asks=${scenario.asks} onAct=${planning.act} lit=${lit} faults=${inAnswer(faults, place)} pen=${planning.drawn}
          work=${(/** @type {number} */ at) => workOf(atrium, stale ? undefined : result, plan.lesions, at)} />
      </div>
    </div>
  </section>`;
}

/** The plan of an answer in work: the form holds its history, and undo goes point by point while a line is drawn. @param {Part} part @param {AnswerPlace} place
 * @returns {import("./use-planning.js").Planning} */
function useAnswerPlanning({ scenario, atrium, history, onAct, penNow }, { kind, index }) {
  const { plan } = scenario[kind][index];
  const [lit, setLit] = useState(/** @type {Set<string>} */ (new Set()));
  const act = (/** @type {import("../acts/history.js").Act<Api.Plan>} */ one) => onAct(inPlan(kind, index, one));
  const drawn = useDrawing(atrium, plan, act, lit, setLit);
  const pen = choosesLesions(plan, scenario.asks) ? drawn : undefined;
  penNow.current = pen;
  useEffect(() => () => { penNow.current = undefined; }, []);
  return {
    plan, act, lit, drawn, pen, undo: history.undo, redo: history.redo, drawing: Boolean(pen?.draft),
    undoes: pen?.draft?.undoes || history.undoes, redoes: pen?.draft?.redoes || history.redoes,
    pick: (/** @type {string} */ key) => setLit(before => (before.has(key) ? new Set() : new Set([key]))),
  };
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

/** What the answer is graded just now, beside the letter it should get.
 * @param {{scenario: Api.ScenarioText, check?: Api.Check, stale: boolean, place: AnswerPlace}} props */
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
