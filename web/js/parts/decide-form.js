// The director records the outcome and signs it, with a fresh proof of identity where the sign-in is too old.
import { useState } from "preact/hooks";
import { post } from "../lib/api.js";
import { html } from "../lib/html.js";
import { navigate } from "../lib/navigate.js";
import { counted } from "../lib/numbers.js";
import { ApiProblem } from "../lib/problem.js";
import { session } from "../lib/session.js";
import { needed } from "../model/kept-words.js";
import { Ladder } from "./choices.js";
import { FaultSummary } from "./fault-summary.js";
import { LongField, TextField } from "./field.js";
import { KeptWords } from "./kept-words.js";
import { useAct } from "./use-act.js";
import { useStopped } from "./use-stopped.js";
import { Trouble } from "./waiting.js";

/** What can be recommended and decided. */
export const outcomes = [
  { id: "independent", name: "Independent within the programme's scope" }, { id: "independent-with-conditions", name: "Independent with conditions" },
  { id: "continue", name: "Continue training" }, { id: "remediate", name: "Remediate" },
];

/** The meaning bound to the signature, as the server keeps it. */
const meaning = "I record this outcome for the programme, on the evidence frozen with it.";

/** @param {{path: string, turn: Api.Turn, reload: () => void}} props */
export function DecideForm({ path, turn, reload }) {
  const [given, setGiven] = useState({ outcome: "", conditions: "", reasons: "" });
  const [overrides, setOverrides] = useState(/** @type {Api.Override[]} */ ([]));
  const [proof, setProof] = useState({ asks: false, password: "" });
  const { busy, lines, problem, refusal, act, refuse, fault } = useAct();
  const keeping = { ...useStopped(refusal), overrides, onOverrides: setOverrides };
  const conditional = given.outcome === "independent-with-conditions", notMet = turn.standing.requirements.filter(line => line.state !== "met").length;
  const sign = async (/** @type {Event} */ event) => {
    event.preventDefault();
    if (refuse([!given.outcome && { field: "outcome", says: "Choose the outcome." }, !given.reasons.trim() && { field: "reasons", says: "Give the reasons: the trainee reads them." },
      proof.asks && !proof.password && { field: "password", says: "Give your password to sign." }])) return;
    const error = await act("Recorded and signed.", async () => {
      if (proof.asks) await post("/session/proof", { password: proof.password });
      const conditions = conditional ? given.conditions : undefined;
      const made = /** @type {Api.Decision} */ (await post(`${path}/decision`, { ...given, conditions, evidence_hash: turn.standing.evidence_hash, overrides: needed(overrides, { reasons: given.reasons, conditions: conditions ?? "" }) }));
      navigate(`/decisions/${made.id}`);
    });
    const kind = error instanceof ApiProblem ? error.kind : "";
    if (kind !== "proof-needed" && kind !== "proof-failed") return;
    setProof({ asks: true, password: "" });
    refuse([{ field: "password", says: kind === "proof-failed" ? "That is not your password." : "Give your password to sign." }]);
  };
  const stale = problem instanceof ApiProblem && problem.status === 412;
  return html`<form novalidate onSubmit=${sign} class="narrow decide">
    <h3>Record the outcome</h3>
    <${FaultSummary} faults=${lines} title="Before you sign" />
    ${stale ? html`<div class="notice"><p>The evidence changed since this page was opened. Look at it again before you sign.</p><button type="button" onClick=${reload}>Show it as it is now</button></div>`
      : problem && html`<${Trouble} problem=${problem} />`}
    ${notMet > 0 && html`<p class="notice">${counted(notMet, "requirement")} not met. The record names ${notMet === 1 ? "it" : "them"} beside the outcome.</p>`}
    <${Ladder} legend="Outcome" name="outcome" value=${given.outcome} options=${outcomes} onValue=${(/** @type {string} */ outcome) => setGiven({ ...given, outcome })} />
    ${conditional && html`<${LongField} label="Conditions" name="conditions" value=${given.conditions} fault=${fault("conditions")} onValue=${(/** @type {string} */ conditions) => setGiven({ ...given, conditions })} />
      <${KeptWords} ...${keeping} field="conditions" text=${given.conditions} onText=${(/** @type {string} */ conditions) => setGiven({ ...given, conditions })} />`}
    <${LongField} label="Reasons, for the trainee to read" name="reasons" rows=${5} maxlength=${4000} value=${given.reasons} fault=${fault("reasons")} onValue=${(/** @type {string} */ reasons) => setGiven({ ...given, reasons })} />
    <${KeptWords} ...${keeping} field="reasons" text=${given.reasons} onText=${(/** @type {string} */ reasons) => setGiven({ ...given, reasons })} />
    ${proof.asks && html`<div class="notice"><p class="strong">Prove who you are</p><p>Your sign-in is too old for a signature. Give your password once more: it then holds for the next decisions too.</p>
      <${TextField} label="Password" name="password" type="password" autocomplete="current-password" value=${proof.password} fault=${fault("password")} onValue=${(/** @type {string} */ password) => setProof({ asks: true, password })} /></div>`}
    <button type="submit" class="main-act" disabled=${busy}>Record and sign</button>
    <p class="small">“${meaning}” Your name, ${session.value?.person.name}, the time and this meaning are kept with it. It never changes: a later meeting's decision takes its place.</p>
  </form>`;
}
