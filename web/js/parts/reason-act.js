// An act that needs a reason: a button that opens the question, and then the act.
import { useEffect, useRef, useState } from "preact/hooks";
import { html } from "../lib/html.js";
import { LongField } from "./field.js";

/** @param {{name: string, label: string, confirm: string, busy: boolean, onGiven: (reason: string) => void}} props */
export function ReasonAct({ name, label, confirm, busy, onGiven }) {
  const [open, setOpen] = useState(false);
  const [reason, setReason] = useState("");
  const [fault, setFault] = useState("");
  const box = useRef(/** @type {HTMLElement | null} */ (null));
  useEffect(() => { if (open) box.current?.querySelector("textarea")?.focus(); }, [open]);
  const give = () => (reason.trim() ? onGiven(reason.trim()) : setFault("Give the reason in a sentence."));
  if (!open) return html`<button type="button" class="quiet" onClick=${() => setOpen(true)}>${name}</button>`;
  return html`<div class="reason" ref=${box}>
    <${LongField} label=${label} value=${reason} fault=${fault} onValue=${setReason} />
    <div class="bar"><button type="button" disabled=${busy} onClick=${give}>${confirm}</button><button type="button" class="quiet"
      onClick=${() => setOpen(false)}>Cancel</button></div>
  </div>`;
}
