// The tray: sign-offs prepared one by one, signed together with one proof of identity, each a signature of its own.
import { useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { post } from "../lib/api.js";
import { dayWords } from "../lib/days.js";
import { html } from "../lib/html.js";
import { counted } from "../lib/numbers.js";
import { ApiProblem } from "../lib/problem.js";
import { at, session } from "../lib/session.js";
import { levelName, named } from "../lib/words.js";
import { eventWords } from "../model/statement.js";
import { signEach } from "../model/tray.js";
import { Caution } from "../parts/caution.js";
import { TextField } from "../parts/field.js";
import { Page } from "../parts/page.js";
import { takeOut, tray } from "../parts/tray.js";
import { useAtrium } from "../parts/use-atrium.js";
import { Empty, Loading, Trouble } from "../parts/waiting.js";

/** @typedef {import("../model/tray.js").Prepared} Prepared */
/** @typedef {import("../model/tray.js").Result} Result */

export function TrayPage() {
  const facts = useAtrium().data?.facts;
  const act = useTray();
  const prepared = tray.value;
  const open = prepared?.filter(one => !act.stale.has(one.case)) || [];
  const wrong = act.results.filter(one => one.kind === "stale" || one.kind === "refused");
  return html`<${Page} title="Tray" lead="Cases you opened and answered for one by one. They wait on this device and are not signed yet." kind="narrow-page">
    ${act.signed > 0 && html`<p class="notice" role="status"><b>${counted(act.signed, "case")} signed.</b>${wrong.length > 0 ? ` ${counted(wrong.length, "case")} not: see why below.` : ""}</p>`}
    ${act.problem && html`<${Trouble} problem=${act.problem} />`}
    ${prepared === undefined ? html`<${Loading} what="the tray" />` : prepared.length === 0
      ? html`<${Empty} says="Nothing is in the tray."><a href="/inbox">Go to the inbox</a><//>`
      : html`<ol class="tray">${prepared.map(one => html`<${One} key=${one.case} one=${one} facts=${facts} result=${act.results.find(result => result.case === one.case)} busy=${act.busy} />`)}</ol>
        ${open.length > 0 && html`<${SignTogether} count=${open.length} act=${act} />`}
        <${Caution} />`}
  <//>`;
}

/** @param {{one: Prepared, facts?: Api.Atrium, result?: Result, busy: boolean}} props */
function One({ one, facts, result, busy }) {
  const { body } = one, wrong = result && (result.kind === "stale" || result.kind === "refused");
  return html`<li>
    <h2><a href=${`/cases/${one.case}/sign-off`}>${one.title}</a></h2>
    <p class="small">${one.trainee_name}, operated on ${dayWords(one.operated_on)}, version ${one.version}</p>
    ${wrong && html`<div class="notice" role="alert"><p class="strong">${result.title}</p><p>${result.says}</p></div>`}
    ${facts && html`<dl class="facts left">
      <dt>Who performed it</dt><dd>${performedWords(body.steps, facts)}</dd>
      <dt>Help given</dt><dd>${body.help_given}, ${levelName(facts.help_levels, body.help_given)}</dd>
      <dt>Supervision next time</dt><dd>${body.supervision_next}, ${levelName(facts.supervision_levels, body.supervision_next)}</dd>
      <dt>Events</dt><dd>${eventWords(body, event => named(facts.events, event))}</dd>
      <dt>Keep</dt><dd>${body.keep}</dd><dt>Change</dt><dd>${body.change}</dd>
    </dl>`}
    <div class="bar"><button type="button" class="quiet" disabled=${busy} onClick=${() => takeOut(one.case)}>Take out<span class="unseen"> ${one.title}, ${one.trainee_name}</span></button></div>
  </li>`;
}

/** How many steps each performed. @param {Api.Step[]} steps @param {Api.Atrium} facts */
const performedWords = (steps, facts) => facts.performers.map(({ id, name }) => ({ name: name.toLowerCase(), n: steps.filter(step => step.performed_by === id).length }))
  .filter(one => one.n > 0).map(({ name, n }) => `${counted(n, "step")} ${name}`).join(", ");

/** @param {{count: number, act: ReturnType<typeof useTray>}} props */
const SignTogether = ({ count, act }) => html`<form novalidate onSubmit=${act.sign}>
  ${act.asks && html`<div class="notice"><p class="strong">Prove who you are</p>
    <p>Your sign-in is too old for a signature. Give your password once: it holds for the whole tray.</p>
    <${TextField} label="Password" name="password" type="password" autocomplete="current-password" value=${act.password} fault=${act.fault} onValue=${act.setPassword} /></div>`}
  <button type="submit" class="main-act" disabled=${act.busy}>Sign ${counted(count, "case")}</button>
  <p class="small">“I supervised this operation and state that this is what I saw.” Each case gets a signature of its own, with your name, ${session.value?.person.name}, the time and this meaning, bound to the version you opened. A case that changed since is left out; the others are signed.</p>
</form>`;

function useTray() {
  const [state, setState] = useState(/** @type {{busy: boolean, results: Result[], signed: number, problem: unknown, fault: string}} */ ({ busy: false, results: [], signed: 0, problem: null, fault: "" }));
  const [password, setPassword] = useState("");
  const [asks, setAsks] = useState(false);
  const stale = new Set(state.results.filter(one => one.kind === "stale").map(one => one.case)); // they need to be opened again
  const stop = (/** @type {unknown} */ error) => {
    const kind = error instanceof ApiProblem ? error.kind : "";
    if (kind !== "proof-needed" && kind !== "proof-failed") return { problem: error, fault: "" };
    setAsks(true);
    return { problem: null, fault: kind === "proof-failed" ? "That is not your password." : "Give your password to sign." };
  };
  const sign = async (/** @type {Event} */ event) => {
    event.preventDefault();
    if (asks && !password) return setState(before => ({ ...before, fault: "Give your password to sign." }));
    setState(before => ({ ...before, busy: true, problem: null, fault: "" }));
    try {
      if (asks) await post("/session/proof", { password });
    } catch (error) {
      return setState(before => ({ ...before, busy: false, ...stop(error) }));
    }
    setPassword("");
    setAsks(false);
    const { results, stopped } = await signEach((tray.peek() || []).filter(one => !stale.has(one.case)), one => post(at(`/cases/${one.case}/sign-off`), one.body, { revision: one.revision }));
    const signed = results.filter(one => one.kind === "signed");
    for (const one of signed) await takeOut(one.case);
    setState(before => ({ busy: false, results: [...before.results.filter(one => one.kind === "stale"), ...results], signed: before.signed + signed.length, problem: null, fault: "", ...(stopped ? stop(stopped) : {}) }));
    announce(`${counted(signed.length, "case")} signed.`);
  };
  return { ...state, stale, asks, password, setPassword, sign };
}
