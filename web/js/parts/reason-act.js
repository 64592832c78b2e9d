// An act that needs a reason: a button that opens the question, and then the act.
import { useEffect, useRef, useState } from "preact/hooks";
import { html } from "../lib/html.js";
import { needed } from "../model/kept-words.js";
import { LongField } from "./field.js";
import { KeptWords } from "./kept-words.js";
import { useStopped } from "./use-stopped.js";

/**
 * @param {{name: string, label: string, confirm: string, busy: boolean, problem?: unknown, onGiven: (reason: string, overrides: Api.Override[]) => void}} props
 * problem: why the act was refused; what the privacy screen stopped in the reason is shown beside it
 */
export function ReasonAct({ name, label, confirm, busy, problem, onGiven }) {
  const [open, setOpen] = useState(false);
  const [reason, setReason] = useState("");
  const [fault, setFault] = useState("");
  const [overrides, setOverrides] = useState(/** @type {Api.Override[]} */ ([]));
  const stopped = useStopped(problem);
  const box = useRef(/** @type {HTMLElement | null} */ (null));
  useEffect(() => { if (open) box.current?.querySelector("textarea")?.focus(); }, [open]);
  const give = () => (reason.trim() ? onGiven(reason.trim(), needed(overrides, { reason })) : setFault("Give the reason in a sentence."));
  if (!open) return html`<button type="button" class="quiet" onClick=${() => setOpen(true)}>${name}</button>`;
  return html`<div class="reason" ref=${box}>
    <${LongField} label=${label} value=${reason} fault=${fault} onValue=${setReason} />
    <${KeptWords} ...${stopped} field="reason" text=${reason} overrides=${overrides} onText=${setReason} onOverrides=${setOverrides} />
    <div class="bar"><button type="button" disabled=${busy} onClick=${give}>${confirm}</button><button type="button" class="quiet"
      onClick=${() => setOpen(false)}>Cancel</button></div>
  </div>`;
}
