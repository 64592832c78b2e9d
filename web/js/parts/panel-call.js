// Calling a panel: the method, the judges, and of a test drawn by topic the questions to rate.
import { useRef, useState } from "preact/hooks";
import { post } from "../lib/api.js";
import { html } from "../lib/html.js";
import { navigate } from "../lib/navigate.js";
import { counted } from "../lib/numbers.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { uuid } from "../lib/uuid.js";
import { TopicWords } from "../model/quiz.js";
import { CheckField, SelectField } from "./field.js";
import { FaultSummary } from "./fault-summary.js";
import { useAct } from "./use-act.js";
import { Show, Trouble } from "./waiting.js";

/** @param {{test: string, plan: Api.TestPlan, heads: Api.QuestionHead[]}} props plan: of the version in use */
export function PanelCall({ test, plan, heads }) {
  const people = useResource(at("/people"));
  const rows = plan.rows || [];
  const able = heads.filter(head => head.live_version > 0 && rows.some(row => row.topic === head.topic && (!row.difficulty || row.difficulty === head.difficulty)));
  const [method, setMethod] = useState("angoff");
  const [judges, setJudges] = useState(/** @type {string[]} */ ([]));
  const [left, setLeft] = useState(/** @type {string[]} */ ([])); // questions that are not to be rated
  const key = useRef(uuid());
  const { busy, lines, problem, act, refuse } = useAct();
  const items = able.filter(head => !left.includes(head.id)).map(head => head.id), angoff = method === "angoff";
  const turned = (/** @type {string[]} */ list, /** @type {string} */ id, /** @type {boolean} */ on) => (on ? [...list, id] : list.filter(one => one !== id));
  const call = (/** @type {Event} */ event) => {
    event.preventDefault();
    if (refuse([judges.length === 0 && { field: "judges", says: "Choose at least one judge; with one, no standard error can be said." }])) return;
    act("The panel is called.", async () => {
      const body = { method, judges, items: angoff && rows.length > 0 ? items : undefined };
      await post(at(`/tests/${encodeURIComponent(test)}/panels`), body, { key: key.current });
      navigate(`/tests/${encodeURIComponent(test)}/panel`);
    }).then(error => { if (error) key.current = uuid(); });
  };
  return html`<form novalidate onSubmit=${call}>
    <${FaultSummary} faults=${lines} title="Before the panel can be called" />
    ${problem && html`<${Trouble} problem=${problem} />`}
    <${SelectField} label="Method" name="method" value=${method} options=${[{ id: "angoff", name: "Modified Angoff: every question, in two rounds" }, { id: "hofstee", name: "Hofstee: what marks and failing shares are bearable" }]} onValue=${setMethod} />
    <${Show} of=${people} what="the people of the programme">${(/** @type {Api.Page<Api.Person>} */ page) => html`<fieldset class="checks" data-field="judges"><legend>Judges</legend>
      ${page.items.filter(one => one.roles.includes("faculty") || one.roles.includes("director")).map(one => html`<${CheckField} key=${one.id} label=${one.name} value=${judges.includes(one.id)} onValue=${(/** @type {boolean} */ on) => setJudges(turned(judges, one.id, on))} />`)}
    </fieldset>`}<//>
    ${angoff && rows.length > 0 && html`<details><summary>${counted(items.length, "question")} of ${able.length} to rate</summary><fieldset class="checks"><legend>Questions that the test can draw</legend>
      ${able.map(head => html`<${CheckField} key=${head.id} label=${`${TopicWords(head.topic)}: ${head.stem}`} value=${!left.includes(head.id)} onValue=${(/** @type {boolean} */ on) => setLeft(turned(left, head.id, !on))} />`)}
    </fieldset></details>`}
    <button type="submit" class="main-act" disabled=${busy}>Call the panel</button>
  </form>`;
}
