// Letting another version of the standard judge a trainee from a day on: the director's act, on record.
import { useEffect, useRef, useState } from "preact/hooks";
import { post } from "../lib/api.js";
import { today } from "../lib/days.js";
import { html } from "../lib/html.js";
import { at } from "../lib/session.js";
import { FaultSummary } from "./fault-summary.js";
import { LongField, SelectField, TextField } from "./field.js";
import { useAct } from "./use-act.js";
import { Trouble } from "./waiting.js";

/**
 * @param {{name: string, trainees: {id: string, name: string}[], versions: Api.StandardItem[], onMoved: () => void}} props
 * name: of the button that opens it; trainees, versions: to choose from, one of either needs no choice
 */
export function MoveForm({ name, trainees, versions, onMoved }) {
  const [open, setOpen] = useState(false);
  const [trainee, setTrainee] = useState("");
  const [version, setVersion] = useState("");
  const [from, setFrom] = useState(today());
  const [reason, setReason] = useState("");
  const sent = useAct();
  const box = useRef(/** @type {HTMLElement | null} */ (null));
  useEffect(() => { if (open) /** @type {HTMLElement | null | undefined} */ (box.current?.querySelector("select, input"))?.focus(); }, [open]);
  if (!open) return html`<button type="button" class="quiet" onClick=${() => setOpen(true)}>${name}</button>`;
  const who = trainees.length === 1 ? trainees[0].id : trainee, to = versions.length === 1 ? String(versions[0].version) : version;
  const move = () => {
    if (sent.refuse([!who && { field: "trainee", says: "Choose the trainee." }, !to && { field: "version", says: "Choose the version." }, !reason.trim() && { field: "reason", says: "Say why, in a sentence: the trainee reads it." }])) return;
    sent.act("Moved.", async () => {
      await post(at(`/trainees/${encodeURIComponent(who)}/standard-moves`), { version: Number(to), from, reason: reason.trim() });
      setOpen(false);
      onMoved();
    });
  };
  return html`<div class="reason" role="group" aria-label=${name} ref=${box}>
    <${FaultSummary} faults=${sent.lines} title="This move cannot be made yet" />
    ${sent.problem && html`<${Trouble} problem=${sent.problem} />`}
    ${trainees.length > 1 && html`<${SelectField} label="Trainee" name="trainee" choose="Choose" options=${trainees} value=${trainee} fault=${sent.fault("trainee")} onValue=${setTrainee} />`}
    ${versions.length > 1 && html`<${SelectField} label="To version" name="version" choose="Choose" options=${versions.map(one => ({ id: String(one.version), name: `${one.version}: ${one.title}` }))} value=${version} fault=${sent.fault("version")} onValue=${setVersion} />`}
    <${TextField} label="From" name="from" type="date" hint="Today or later: what earlier days were judged by stays." value=${from} fault=${sent.fault("from") || (versions.length === 1 && sent.fault("version"))} onValue=${setFrom} />
    <${LongField} label="Why" name="reason" hint="The trainee reads it." maxlength=${500} value=${reason} fault=${sent.fault("reason")} onValue=${setReason} />
    <div class="bar"><button type="button" disabled=${sent.busy} onClick=${move}>Move</button><button type="button" class="quiet" onClick=${() => setOpen(false)}>Cancel</button></div>
  </div>`;
}
