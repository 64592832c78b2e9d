// Asking for a simulation: which standards, who trains on what, and how they are rated.
import { useRef, useState } from "preact/hooks";
import { post } from "../lib/api.js";
import { html } from "../lib/html.js";
import { navigate } from "../lib/navigate.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { uuid } from "../lib/uuid.js";
import { formToMix, mixToForm } from "../model/simulation.js";
import { Caution } from "../parts/caution.js";
import { NumberField, SelectField, TextField } from "../parts/field.js";
import { FaultSummary } from "../parts/fault-summary.js";
import { Page } from "../parts/page.js";
import { SimulationGroups, SimulationKinds } from "../parts/simulation-mix.js";
import { useAct } from "../parts/use-act.js";
import { Show, Trouble } from "../parts/waiting.js";

/** @param {{query: URLSearchParams}} props */
export function NewSimulationPage({ query }) {
  const from = query.get("from");
  const standards = useResource(at("/standards")), example = useResource("/standard-example");
  const start = useResource(from ? null : at("/simulation-start")), before = useResource(from ? at(`/simulations/${encodeURIComponent(from)}`) : null);
  const begin = from ? before : start;
  return html`<${Page} title="Try a standard" lead="On made-up trainees, judged by the rules that judge real ones. Nothing of it is about a person.">
    <${Caution} />
    <${Show} of=${standards} what="the standards">${(/** @type {Api.Page<Api.StandardItem>} */ list) => html`
      <${Show} of=${example} what="the example standard">${(/** @type {{yaml: string}} */ text) => html`
        <${Show} of=${begin} what="numbers to begin with">${(/** @type {any} */ given) => html`<${Order} standards=${list.items} example=${text.yaml} chosen=${query.get("version") || ""}
          start=${from ? null : given} earlier=${from ? given.plan : null} />`}<//>`}<//>`}<//>
  <//>`;
}

/** @param {{standards: Api.StandardItem[], example: string, chosen: string, start: Api.SimulationStart | null, earlier: Api.SimulationPlan | null}} props */
function Order({ standards, example, chosen, start, earlier }) {
  const options = [...standards.map(one => ({ id: String(one.version), name: `${one.title}, version ${one.version}` })), { id: "example", name: "The example standard" }];
  const known = (/** @type {number} */ n) => options.find(one => one.id === String(earlier?.standards[n]?.version))?.id;
  const [first, setFirst] = useState(known(0) || options.find(one => one.id === chosen)?.id || options[0].id);
  const [second, setSecond] = useState(known(1) || "");
  const [mix, setMix] = useState(() => mixToForm(earlier ? earlier.mix : /** @type {Api.SimulationStart} */ (start).mix));
  const [rest, setRest] = useState({ trainees: earlier?.trainees || 10000, cases: earlier?.cases || 200, adequate: (earlier?.adequate || 0.2) * 100, seed: earlier ? String(earlier.seed) : "" });
  const sent = useRef({ text: "", key: "" }); // the same order sent again is the same simulation
  const { busy, lines, problem, act, fault } = useAct();
  const tried = (/** @type {string} */ id) => (id === "example" ? { yaml: example } : { version: Number(id) });
  const submit = (/** @type {Event} */ event) => {
    event.preventDefault();
    act("", async () => {
      const order = { standards: [first, second].filter(Boolean).map(tried), mix: formToMix(mix), trainees: rest.trainees, cases: rest.cases, adequate: rest.adequate / 100, seed: rest.seed === "" ? undefined : Number(rest.seed) };
      const text = JSON.stringify(order);
      if (sent.current.text !== text) sent.current = { text, key: uuid() };
      const made = /** @type {Api.Simulation} */ (await post(at("/simulations"), order, { key: sent.current.key }));
      navigate(`/simulations/${made.id}`);
    });
  };
  const number = (/** @type {"cases_per_year" | "primary" | "incomplete" | "unsigned" | "late" | "assessors" | "spread"} */ name, /** @type {string} */ label, /** @type {Record<string, unknown>} */ more) => html`<${NumberField} label=${label} name=${`mix.${name}`}
    value=${mix[name]} fault=${fault(`mix.${name}`)} onValue=${(/** @type {number} */ value) => setMix({ ...mix, [name]: value })} ...${more} />`;
  return html`<form novalidate onSubmit=${submit}>
    <${FaultSummary} faults=${lines} title="Before it can run" />
    ${problem && html`<${Trouble} problem=${problem} />`}
    ${start && html`<p>${start.says}</p>`}
    <div class="form-columns">
      <${SelectField} label="Standard" name="standards[0]" value=${first} options=${options} fault=${fault("standards[0]")} onValue=${setFirst} />
      <${SelectField} label="Compare with (optional)" name="standards[1]" value=${second} choose="No other" options=${options} fault=${fault("standards[1]")} onValue=${setSecond} />
    </div>
    <${SimulationGroups} groups=${mix.groups} fault=${fault} onGroups=${(/** @type {Api.SimulatedGroup[]} */ groups) => setMix({ ...mix, groups })} />
    <fieldset class="group"><legend>How they train and are rated</legend><div class="form-columns">
      ${number("cases_per_year", "Operations a year", { min: 1, max: 1000 })}
      ${number("primary", "As primary operator", { unit: "%", max: 100 })}
      ${number("incomplete", "Without every line complete and tested", { unit: "%", max: 100 })}
      ${number("unsigned", "Never signed off", { unit: "%", max: 95 })}
      ${number("late", "Signatures that are late recall", { unit: "%", max: 100 })}
      ${number("assessors", "Assessors of one trainee", { min: 1, max: 50 })}
      ${number("spread", "Spread of their severity", { step: 0.1, max: 3, hint: "Standard deviation in log odds; 0: all alike, 0.5: moderate." })}
    </div></fieldset>
    <${SimulationKinds} kinds=${mix.kinds} fault=${fault} onKinds=${(/** @type {Api.SimulatedKind[]} */ kinds) => setMix({ ...mix, kinds })} />
    <fieldset class="group"><legend>How far to look</legend><div class="form-columns">
      <${NumberField} label="Adequate when failing in at most" name="adequate" unit="%" step=${0.5} value=${rest.adequate} fault=${fault("adequate")} onValue=${(/** @type {number} */ adequate) => setRest({ ...rest, adequate })} />
      <${NumberField} label="Operations until training ends" name="cases" min=${1} max=${500} value=${rest.cases} fault=${fault("cases")} onValue=${(/** @type {number} */ cases) => setRest({ ...rest, cases })} />
      <${NumberField} label="Made-up trainees" name="trainees" min=${100} max=${100000} step=${100} value=${rest.trainees} fault=${fault("trainees")} onValue=${(/** @type {number} */ trainees) => setRest({ ...rest, trainees })} />
      <${TextField} label="Seed (optional)" name="seed" hint="A whole number. The same seed gives the same figures." value=${rest.seed} fault=${fault("seed")} onValue=${(/** @type {string} */ seed) => setRest({ ...rest, seed: seed.replace(/\D/g, "").slice(0, 15) })} />
    </div></fieldset>
    <button type="submit" class="main-act" disabled=${busy}>Try it</button>
  </form>`;
}
