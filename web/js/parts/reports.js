// Reports to take away: what there is to ask for, how far each has come, and its file while it is kept.
import { useEffect, useState } from "preact/hooks";
import { post } from "../lib/api.js";
import { html } from "../lib/html.js";
import { dayWords, timeWords } from "../lib/days.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { uuid } from "../lib/uuid.js";
import { CheckField } from "./field.js";
import { useAct } from "./use-act.js";
import { Trouble } from "./waiting.js";

/** @typedef {{kind: Api.Report["kind"], name: string, says: string, leaves?: boolean}} Offer leaves: it can be made for the outside */

/** What a trainee's page offers. @type {Offer[]} */
export const portfolio = [{ kind: "portfolio", name: "Portfolio", says: "Standing, curves, cases, plans, decisions and signatures, as PDF.", leaves: true }];

/** What the cohort's page offers; the tables only to who lists every case. @param {boolean} tables @returns {Offer[]} */
export const cohortReports = tables => [
  { kind: "pack", name: "Meeting pack", says: "The cohort on a page, then every trainee, as PDF." },
  ...(tables ? /** @type {Offer[]} */ ([
    { kind: "workbook", name: "Workbook", says: "People, standing, cases and ratings in typed columns with a dictionary, as XLSX.", leaves: true },
    { kind: "tables", name: "Tables", says: "The same as CSV, in a ZIP.", leaves: true },
  ]) : []),
];

/** How often a report that is being written is looked at, in ms. */
const pace = 500;

/** @param {{offers: Offer[], trainee?: string, on?: string}} props on: the day they speak of; today when empty */
export function Reports({ offers, trainee, on }) {
  const list = useResource(at("/reports?limit=20"));
  const [leaves, setLeaves] = useState(false);
  const { busy, problem, act } = useAct();
  const mine = (/** @type {Api.Page<Api.Report> | undefined} */ (list.data)?.items || []).filter(one => offers.some(offer => offer.kind === one.kind) && (!trainee || one.trainee === trainee)).slice(0, 6);
  const waits = mine.some(one => one.state === "waiting");
  useEffect(() => {
    if (!waits) return undefined;
    const timer = setTimeout(list.reload, pace);
    return () => clearTimeout(timer);
  }, [list.data, waits]);
  const ask = (/** @type {Offer} */ offer) => act(`${offer.name}: being written.`, async () => {
    await post(at("/reports"), { kind: offer.kind, trainee, on: on || undefined, outside: (leaves && offer.leaves) || undefined }, { key: uuid() });
    list.reload();
  });
  return html`<section class="reports"><h2>Reports</h2>
    ${problem && html`<${Trouble} problem=${problem} />`}
    ${offers.some(offer => offer.leaves) && html`<${CheckField} label="It leaves the programme: cases are counted, not listed, and small counts are hidden" name="outside" value=${leaves} onValue=${setLeaves} />`}
    <ul class="rows">${offers.map(offer => html`<li key=${offer.kind} class="row"><span class="row-main">${offer.name}<small>${offer.says}</small></span>
      ${leaves && !offer.leaves ? html`<span class="small">stays in the programme</span>` : html`<button type="button" class="quiet" disabled=${busy} onClick=${() => ask(offer)}>Write it<span class="unseen">: ${offer.name}</span></button>`}</li>`)}</ul>
    ${mine.length > 0 && html`<h3>Asked for by you</h3><ul class="rows">${mine.map(one => html`<li key=${one.id} class="row">
      <${Written} one=${one} name=${offers.find(offer => offer.kind === one.kind)?.name || ""} /></li>`)}</ul>`}
    <p><a href="/verify">Check a report</a> by its code.</p>
  </section>`;
}

/** @param {{one: Api.Report, name: string}} props */
function Written({ one, name }) {
  const title = `${name}, as of ${dayWords(one.on)}${one.outside ? ", for the outside" : ""}`;
  if (one.state === "waiting") return html`<span class="row-main" role="status">${title}<small>${one.ready === 0 ? "Waiting for its turn." : `${one.ready} of ${one.total} people written.`}</small></span>
    <progress max=${one.total} value=${one.ready} aria-label=${`${name}, people written`}></progress>`;
  if (one.state === "failed") return html`<span class="row-main">${title}<small class="fault">It failed: ${one.message}</small></span>`;
  return html`<span class="row-main">${title}<small>${timeWords(one.created_at)}. Code <code>${one.code}</code></small></span>
    ${one.file_name ? html`<a href=${`/api${at(`/reports/${one.id}/file`)}`} download=${one.file_name}>Take it<small class="line">kept until ${dayWords((one.kept_until || "").slice(0, 10))}</small></a>` : html`<span class="small">no longer kept</span>`}`;
}
