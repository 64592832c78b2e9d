// What leaves the programme in open formats: what each holds and what was taken out, files to take, and how far the delivery of statements is.
import { announce } from "../lib/announce.js";
import { get, put } from "../lib/api.js";
import { timeWords } from "../lib/days.js";
import { html } from "../lib/html.js";
import { counted } from "../lib/numbers.js";
import { useResource } from "../lib/resource.js";
import { saveAs } from "../lib/save.js";
import { at } from "../lib/session.js";
import { Caution } from "../parts/caution.js";
import { Page } from "../parts/page.js";
import { useAct } from "../parts/use-act.js";
import { Show, Trouble } from "../parts/waiting.js";

export function ExportsPage() {
  const view = useResource(at("/exports"));
  return html`<${Page} title="Exports" lead="What leaves the programme in open formats, and what never does. Every file taken here leaves an entry in the audit trail.">
    <${Show} of=${view} what="the exports">${(/** @type {Api.Disclosure} */ all) => html`
      <${Statements} holds=${all.statements.holds} without=${all.statements.without} />
      <${Delivery} delivery=${all.delivery} done=${(/** @type {Api.Delivery} */ delivery) => view.set({ ...all, delivery })} />
      <${Operations} operations=${all.operations} />
      <section aria-label="People"><h2>People and roles</h2>
        <p>Members and their roles with names and mail addresses, as OneRoster 1.2: for those who keep the members of another system.</p>
        <p><a href=${`/api${at("/roster")}`} download="roster.zip">People as OneRoster</a></p></section>
      <${Caution} />`}<//>
  <//>`;
}

/** @param {{items: string[]}} props */
const Lines = ({ items }) => html`<ul>${items.map(one => html`<li key=${one}>${one}</li>`)}</ul>`;

/** All statements, page after page, as one answer would have been. @returns {Promise<unknown[]>} */
async function allStatements() {
  const all = [];
  let path = at("/exports/xapi?limit=200");
  while (path) {
    const page = /** @type {{statements: unknown[], more?: string}} */ (await get(path));
    all.push(...page.statements);
    path = page.more ? page.more.replace(/^\/api/, "") : "";
  }
  return all;
}

/** @param {{holds: string[], without: string[]}} props */
function Statements({ holds, without }) {
  const taking = useAct();
  const take = () => taking.act("", async () => {
    const statements = await allStatements();
    saveAs("statements.json", new Blob([JSON.stringify({ statements }, null, 1)], { type: "application/json" }));
    announce(`${counted(statements.length, "statement")} saved.`);
  });
  return html`<section aria-label="Statements"><h2>What trainees did, as xAPI statements</h2>
    <p>For a learning record store (xAPI 1.0.3).</p>
    <h3>They hold</h3><${Lines} items=${holds} />
    <h3>Left out</h3><${Lines} items=${without} />
    <p><button type="button" disabled=${taking.busy} onClick=${take}>Take all statements</button></p>
    ${taking.problem && html`<${Trouble} problem=${taking.problem} />`}</section>`;
}

/** @param {{operations: Api.Disclosure["operations"]}} props */
const Operations = ({ operations }) => html`<section aria-label="Operations"><h2>Operations without identity, as FHIR</h2>
  <p>For a register or a study (FHIR R4, a bundle of Procedures). ${operations.released === 0
    ? html`<strong>Nothing would leave now: too few operations look alike.</strong>` : html`<strong>${counted(operations.released, "signed operation")} would leave now.</strong>`}</p>
  <h3>What was taken out</h3><${Lines} items=${operations.says} />
  <p><a href=${`/api${at("/exports/fhir")}`} download="operations.fhir.json">Operations as FHIR</a></p></section>`;

/** @param {{delivery: Api.Delivery, done: (after: Api.Delivery) => void}} props */
function Delivery({ delivery, done }) {
  const { configured, on, number, by_name: by, since } = delivery;
  const choosing = useAct();
  const choose = () => choosing.act(on ? "Delivery ended." : "Delivery begun.", async () => done(await put(at("/exports/delivery"), { deliver: !on, after: number })));
  return html`<section aria-label="Delivery"><h2>Delivery of statements</h2>
    <p><strong>${on ? "On." : "Off."}</strong> ${number > 0 && `Chosen by ${by}, ${timeWords(since)}.`}
      ${configured ? "" : " This installation has no learning record store; whoever runs it names one."}</p>
    ${(on || delivery.sent > 0 || delivery.waiting > 0) && html`<${Queue} delivery=${delivery} />`}
    ${(on || configured) && html`<p><button type="button" class=${on ? "quiet" : undefined} disabled=${choosing.busy} onClick=${choose}>${on ? "End the delivery" : "Begin the delivery"}</button></p>`}
    ${configured && !on && html`<p class="small">Begun, every statement there is goes to the store, those of the past too, and each new one as it happens.</p>`}
    ${(choosing.problem || choosing.lines.length > 0) && html`<${Trouble} problem=${choosing.refusal} />`}</section>`;
}

/** @param {{delivery: Api.Delivery}} props */
const Queue = ({ delivery }) => html`<dl class="facts">
  <div><dt>Taken by the store</dt><dd>${delivery.sent}${delivery.last_at ? `, the last ${timeWords(delivery.last_at)}` : ""}</dd></div>
  <div><dt>Waiting</dt><dd>${delivery.waiting}${delivery.oldest ? `, the oldest since ${timeWords(delivery.oldest)}` : ""}</dd></div>
  ${delivery.stuck > 0 && html`<div><dt>Tried and not taken yet</dt><dd>${delivery.stuck}: ${delivery.message}. None is given up.</dd></div>`}
</dl>`;
