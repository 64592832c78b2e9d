// When a person is told by mail what waits for them: rhythm, hour, time zone, quiet hours.
import { useState } from "preact/hooks";
import { put } from "../lib/api.js";
import { timeWords } from "../lib/days.js";
import { html } from "../lib/html.js";
import { useResource } from "../lib/resource.js";
import { Ladder } from "./choices.js";
import { FaultSummary } from "./fault-summary.js";
import { NumberField, SelectField, TextField } from "./field.js";
import { useAct } from "./use-act.js";
import { Show, Trouble } from "./waiting.js";

const rhythms = [{ id: "off", name: "No mail" }, { id: "daily", name: "Every day" }, { id: "weekly", name: "Once a week" }];
const weekdays = ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"].map(id => ({ id, name: id[0].toUpperCase() + id.slice(1) }));

export function Digest() {
  const digest = useResource("/digest");
  return html`<h2>What waits for you, by mail</h2>
    <${Show} of=${digest} what="your choice">${(/** @type {Api.Digest} */ shown) => (shown.offered || shown.choices.rhythm !== "off"
      ? html`<${DigestForm} shown=${shown} onSaved=${digest.set} />` : html`<p>Isthmus sends no mail here: whoever runs it has named no mail server. What waits for you stands on your first page.</p>`)}<//>`;
}

/** @param {{shown: Api.Digest, onSaved: (saved: Api.Digest) => void}} props */
function DigestForm({ shown, onSaved }) {
  const here = Intl.DateTimeFormat().resolvedOptions().timeZone || "UTC";
  const [choices, setChoices] = useState(shown.choices.rhythm === "off" && shown.choices.zone === "UTC" ? { ...shown.choices, zone: here } : shown.choices);
  const { busy, lines, problem, act, fault } = useAct("choices");
  const change = (/** @type {Partial<Api.DigestChoices>} */ what) => setChoices({ ...choices, ...what });
  const save = (/** @type {Event} */ event) => {
    event.preventDefault();
    act("Kept.", async () => onSaved(/** @type {Api.Digest} */ (await put("/digest", { choices }))));
  };
  const on = choices.rhythm !== "off";
  return html`<form class="narrow-form" novalidate onSubmit=${save}>
    <p>A mail with counts and a link, never anything of a case.${shown.next_at ? ` The next one may come ${timeWords(shown.next_at)}.` : ""}</p>
    ${shown.message && html`<p class="notice">The last mail did not go: ${shown.message}</p>`}
    <${FaultSummary} faults=${lines} title="This cannot be kept" />
    ${problem && html`<${Trouble} problem=${problem} />`}
    <${Ladder} legend="How often" name="rhythm" value=${choices.rhythm} options=${rhythms} fault=${fault("rhythm")} onValue=${(/** @type {Api.DigestChoices["rhythm"]} */ rhythm) => change({ rhythm })} />
    ${choices.rhythm === "weekly" && html`<${SelectField} label="On" name="weekday" value=${choices.weekday} options=${weekdays} fault=${fault("weekday")} onValue=${(/** @type {string} */ weekday) => change({ weekday })} />`}
    ${on && html`<${NumberField} label="At about" name="hour" unit="o'clock" min=${0} max=${23} value=${choices.hour} fault=${fault("hour")} onValue=${(/** @type {number} */ hour) => change({ hour })} />
      <${TextField} label="Time zone" name="zone" maxlength=${64} value=${choices.zone} fault=${fault("zone")} onValue=${(/** @type {string} */ zone) => change({ zone })} />
      <${NumberField} label="Quiet from" name="quiet_from" unit="o'clock" min=${0} max=${23} value=${choices.quiet_from} fault=${fault("quiet_from")} onValue=${(/** @type {number} */ quiet_from) => change({ quiet_from })} />
      <${NumberField} label="Quiet until (the same hour: never quiet)" name="quiet_until" unit="o'clock" min=${0} max=${23} value=${choices.quiet_until} fault=${fault("quiet_until")} onValue=${(/** @type {number} */ quiet_until) => change({ quiet_until })} />`}
    <button type="submit" disabled=${busy}>Keep</button>
  </form>`;
}
