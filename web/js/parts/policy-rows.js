// The rows of a scope policy as a table: for whom, what is asked, and the evidence for and against beside each.
import { useState } from "preact/hooks";
import { changeList, moved, writePolicy } from "../acts/policy.js";
import { html } from "../lib/html.js";
import { capital, listed, named, word } from "../lib/words.js";
import { conditionWords, newRow } from "../model/policy.js";
import { RowEditor } from "./policy-row-editor.js";

/** @typedef {{policy: Api.ScopePolicy, facts: Api.Atrium, faults: Map<string, string>, onAct?: (act: import("../acts/policy.js").PolicyAct) => void, open?: number, onOpen?: (index: number) => void}} Part */

/** @param {Part} props without onAct it is only read */
export function PolicyRows({ policy, facts, faults, onAct, open = -1, onOpen }) {
  const [own, setOwn] = useState(-1);
  const opened = onOpen ? open : own, setOpened = onOpen || setOwn;
  const change = (/** @type {(rows: any[]) => any[]} */ how, /** @type {string} */ says) => onAct?.(changeList(["rows"], how, says));
  return html`<p class="hint">Rows are tried from the top; the first whose conditions all hold applies.</p>
    ${faults.get("rows") && html`<p class="fault" data-field="rows">${faults.get("rows")}</p>`}
    <ol class="policy-rows" data-field="rows">${policy.rows.map((row, index) => html`<li key=${index} class="policy-row" data-field=${`rows[${index}]`}>
      <${RowRead} row=${row} index=${index} facts=${facts} />
      ${onAct && html`<div class="bar row-acts">
        <button type="button" class="quiet small-act" aria-expanded=${opened === index} aria-label=${`${opened === index ? "Close" : "Edit"} row ${index + 1}`} onClick=${() => setOpened(opened === index ? -1 : index)}>${opened === index ? "Close" : "Edit"}</button>
        <button type="button" class="quiet small-act" aria-label=${`Up: move row ${index + 1}`} disabled=${index === 0} onClick=${() => { change(rows => moved(rows, index, -1), `move row ${index + 1} up`); setOpened(-1); }}>Up</button>
        <button type="button" class="quiet small-act" aria-label=${`Down: move row ${index + 1}`} disabled=${index === policy.rows.length - 1} onClick=${() => { change(rows => moved(rows, index, 1), `move row ${index + 1} down`); setOpened(-1); }}>Down</button>
        <button type="button" class="quiet small-act" aria-label=${`Remove row ${index + 1}`} onClick=${() => { change(rows => rows.filter((_, i) => i !== index), `remove row ${index + 1}`); setOpened(-1); }}>Remove</button>
      </div>`}
      ${rowFaults(faults, index).map(says => html`<p class="fault">${says}</p>`)}
      ${onAct && opened === index && html`<${RowEditor} row=${row} index=${index} facts=${facts} faults=${faults} onRow=${(/** @type {Api.PolicyRow} */ next) => onAct(writePolicy(["rows", index], next, `row ${index + 1}`))} />`}
    </li>`)}</ol>
    ${onAct && html`<button type="button" class="quiet" onClick=${() => { change(rows => [...rows, newRow()], "add a row"); setOpened(policy.rows.length); }}>Add a row</button>`}`;
}

/** The faults of a row as a whole. @param {Map<string, string>} faults @param {number} index */
const rowFaults = (faults, index) => [...faults].filter(([field]) => field === `rows[${index}]`).map(([, says]) => says);

/** @param {{row: Api.PolicyRow, index: number, facts: Api.Atrium}} props */
function RowRead({ row, index, facts }) {
  const scopes = (/** @type {string[] | undefined} */ ids) => listed((ids || []).map(word));
  const none = row.target === "none";
  return html`
    <div class="row-rule"><h2>${index + 1}. ${capital(row.says || "says nothing yet")}</h2>
      <dl class="facts left"><dt>When</dt><dd>${conditionWords(row.when, facts.operations)}</dd>
        <dt>Target</dt><dd>${none ? "no ablation" : word(row.target)}</dd>
        ${!none && html`<dt>Minimum</dt><dd>${word(row.minimum)}</dd>`}
        ${row.also?.length ? html`<dt>Also accepted</dt><dd>${scopes(row.also)}</dd>` : null}
        ${row.reasons?.length ? html`<dt>Right reasons</dt><dd>${listed(row.reasons.map(id => named(facts.reasons, id).toLowerCase()))}</dd>` : null}
        ${row.may_decline?.length ? html`<dt>May decline for</dt><dd>${listed(row.may_decline.map(id => named(facts.reasons, id).toLowerCase()))}</dd>` : null}
        ${row.cap_when_ablated && html`<dt>At most, when ablated</dt><dd>${row.cap_when_ablated}</dd>`}</dl></div>
    ${[true, false].map(isFor => html`<div class="row-evidence"><h3>${isFor ? "For" : "Against"}</h3>
      ${row.evidence.filter(one => one.for === isFor).map(one => html`<p class="small">${one.text} <cite>${one.source}</cite></p>`)}
      ${row.evidence.every(one => one.for !== isFor) && html`<p class="small">Nothing named.</p>`}</div>`)}`;
}
