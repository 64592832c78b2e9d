// The form of a follow-up: one column, thumb-sized, the main act at the end.
import { useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { post } from "../lib/api.js";
import { html } from "../lib/html.js";
import { navigate } from "../lib/navigate.js";
import { ApiProblem } from "../lib/problem.js";
import { at } from "../lib/session.js";
import { uuid7 } from "../lib/uuid.js";
import { hasHours, missingIn, monthWords, toSend } from "../model/follow-up.js";
import { needed } from "../model/kept-words.js";
import { Ladder } from "./choices.js";
import { asLines, FaultSummary } from "./fault-summary.js";
import { CheckField, LongField, NumberField, SelectField } from "./field.js";
import { KeptWords } from "./kept-words.js";
import { enqueue } from "./outbox.js";
import { useStopped } from "./use-stopped.js";
import { Trouble } from "./waiting.js";

/**
 * @param {{case: string, start: Api.FollowUp, lists: Api.FollowUpLists, months: number[], amends?: Api.FollowUpView, onDone: () => void, onCancel: () => void}} props
 * amends: the follow-up whose next version this is
 */
export function FollowUpForm({ case: of, start, lists, months, amends, onDone, onCancel }) {
  const [entered, setEntered] = useState(start);
  const [reason, setReason] = useState("");
  const [overrides, setOverrides] = useState(/** @type {Api.Override[]} */ ([]));
  const act = useSending(of, amends, onDone);
  const change = (/** @type {Partial<Api.FollowUp>} */ what) => { act.mend(Object.keys(what)); setEntered(before => ({ ...before, ...what })); };
  const send = (/** @type {Event} */ event) => {
    event.preventDefault();
    act.send(entered, reason.trim(), needed(overrides, { "follow_up.note": entered.note || "", reason }));
  };
  const one = (/** @type {keyof Api.FollowUp} */ name) => ({ name, value: String(entered[name] || ""), fault: act.faults.get(name), onValue: (/** @type {string} */ value) => change({ [name]: value }) });
  return html`<form class="follow-up-form" novalidate onSubmit=${send}>
    <${FaultSummary} faults=${act.lines} />
    ${act.problem && html`<${Trouble} problem=${act.problem} />`}
    <${SelectField} label="After the operation" name="month" fault=${act.faults.get("month")} value=${entered.month ? String(entered.month) : ""} choose="Choose"
      options=${months.map(month => ({ id: String(month), name: monthWords(month) }))} onValue=${(/** @type {string} */ month) => change({ month: Number(month) })} />
    <${Ladder} legend="Rhythm on the day" options=${lists.rhythms} ...${one("rhythm")} />
    <${Ladder} legend="How the rhythm was recorded" options=${lists.monitorings} ...${one("monitoring")} />
    ${hasHours(entered.monitoring) && html`<${NumberField} label="Recorded without a break" name="monitoring_hours" unit="hours" min=${1} max=${8784}
      value=${entered.monitoring_hours} fault=${act.faults.get("monitoring_hours")} onValue=${(/** @type {number} */ monitoring_hours) => change({ monitoring_hours })} />`}
    <${Ladder} legend="Atrial arrhythmia since the last follow-up" options=${lists.arrhythmias} ...${one("arrhythmia")} />
    <${Ladder} legend="Antiarrhythmic drug" options=${lists.antiarrhythmics} ...${one("antiarrhythmic")} />
    <${Events} entered=${entered} lists=${lists} change=${change} faults=${act.faults} />
    <${LongField} label="Note" name="note" hint="Nothing that names the patient: no name, number or date." value=${entered.note || ""} fault=${act.faults.get("note")} onValue=${(/** @type {string} */ note) => change({ note })} />
    <${KeptWords} stopped=${act.stopped} amiss=${act.amiss} field="follow_up.note" text=${entered.note || ""} overrides=${overrides} onOverrides=${setOverrides} onText=${(/** @type {string} */ note) => change({ note })} />
    ${amends && html`<${LongField} label="Why it is amended" name="reason" value=${reason} fault=${act.faults.get("reason")} onValue=${setReason} />
      <${KeptWords} stopped=${act.stopped} amiss=${act.amiss} field="reason" text=${reason} overrides=${overrides} onOverrides=${setOverrides} onText=${setReason} />`}
    <button type="submit" class="main-act" disabled=${act.busy}>${amends ? "Save the amendment" : "Record the follow-up"}</button>
    <div class="bar"><button type="button" class="quiet" onClick=${onCancel}>Cancel</button></div>
  </form>`;
}

/** @param {{entered: Api.FollowUp, lists: Api.FollowUpLists, change: (what: Partial<Api.FollowUp>) => void, faults: Map<string, string>}} props */
function Events({ entered, lists, change, faults }) {
  const pacemaker = entered.pacemaker;
  const repeats = (/** @type {string} */ id) => (/** @type {boolean} */ on) => change({ repeat_procedures: lists.repeat_procedures.map(one => one.id).filter(one => (one === id ? on : entered.repeat_procedures.includes(one))) });
  return html`<fieldset class="group"><legend>Since the last follow-up</legend>
    <${CheckField} label="Takes an anticoagulant" value=${entered.anticoagulated} onValue=${(/** @type {boolean} */ anticoagulated) => change({ anticoagulated })} />
    ${lists.repeat_procedures.map(one => html`<${CheckField} key=${one.id} label=${one.name} value=${entered.repeat_procedures.includes(one.id)} onValue=${repeats(one.id)} />`)}
    <${CheckField} label="Pacemaker placed" value=${pacemaker !== null} onValue=${(/** @type {boolean} */ on) => change({ pacemaker: on ? { band: "", reason: "" } : null })} />
    ${pacemaker && html`
      <${SelectField} label="When it was placed" name="pacemaker.band" choose="Choose" options=${lists.pacemaker_bands} value=${pacemaker.band} fault=${faults.get("pacemaker.band")}
        onValue=${(/** @type {string} */ band) => change({ pacemaker: { ...pacemaker, band } })} />
      <${SelectField} label="Why it was placed" name="pacemaker.reason" choose="Choose" options=${lists.pacemaker_reasons} value=${pacemaker.reason} fault=${faults.get("pacemaker.reason")}
        onValue=${(/** @type {string} */ reason) => change({ pacemaker: { ...pacemaker, reason } })} />`}
    <${SelectField} label="Stroke" name="stroke" options=${lists.strokes} value=${entered.stroke} fault=${faults.get("stroke")} onValue=${(/** @type {string} */ stroke) => change({ stroke })} />
    <${CheckField} label="The patient died" value=${entered.died} onValue=${(/** @type {boolean} */ died) => change({ died })} />
  </fieldset>`;
}

/** Keeps a follow-up that could not be sent in this device's queue; false where the browser keeps nothing. @param {string} id @param {string} of @param {{follow_up: Api.FollowUp, overrides: Api.Override[]}} body */
const kept = (id, of, body) => enqueue("follow-up", { case: of, ...body }, { id, name: `Follow-up after ${monthWords(body.follow_up.month)}` }).then(() => true, () => false);

/** A form nobody tried to send yet. @type {{busy: boolean, lines: {field: string, says: string}[], problem: unknown, mended: string[]}} */
const fresh = { busy: false, lines: [], problem: null, mended: [] };

/** Sends under an id made once for the form, so that sending again never makes a second one. @param {string} of @param {Api.FollowUpView | undefined} amends @param {() => void} onDone */
function useSending(of, amends, onDone) {
  const [id] = useState(() => uuid7());
  const [state, setState] = useState(fresh);
  const path = at(`/cases/${encodeURIComponent(of)}/follow-ups`);
  const send = async (/** @type {Api.FollowUp} */ entered, /** @type {string} */ reason, /** @type {Api.Override[]} */ overrides) => {
    const lines = missingIn(entered);
    if (amends && !reason) lines.push({ field: "reason", says: "Say why it is amended." });
    if (lines.length > 0) { setState({ ...fresh, lines }); return; }
    setState({ ...fresh, busy: true });
    try {
      const follow_up = toSend(entered);
      await (amends ? post(`${path}/${amends.id}/amendments`, { follow_up, reason, overrides }, { revision: amends.version }) : post(path, { id, follow_up, overrides }));
      announce(amends ? "Amended." : "Recorded.");
      onDone();
    } catch (error) {
      if (!amends && error instanceof ApiProblem && error.status === 0 && await kept(id, of, { follow_up: toSend(entered), overrides })) { // the same id: never twice
        announce("Kept on this device; it is sent when the network is back.");
        navigate("/waiting");
        return;
      }
      const named = error instanceof ApiProblem && error.errors.length > 0 ? asLines(error.byField("follow_up")) : [];
      setState({ ...fresh, lines: named, problem: error });
    }
  };
  const mend = (/** @type {string[]} */ fields) => setState(before => ({ ...before, mended: [...before.mended, ...fields] })); // a fault goes once its field is changed
  const faults = new Map(state.lines.filter(line => !state.mended.includes(line.field.split(".")[0])).map(line => [line.field, line.says]));
  return { ...state, problem: state.lines.length > 0 ? null : state.problem, ...useStopped(state.problem), faults, send, mend };
}
