// Intact atria beside a plan, as a small table.
import { useEffect, useState } from "preact/hooks";
import { html } from "../lib/html.js";
import { plain } from "../lib/numbers.js";
import { post } from "../lib/api.js";
import { at } from "../lib/session.js";
import { outcomes } from "../model/conduction.js";

/** The intact atria by their size, as read. @type {Map<string, Promise<Api.Result>>} */
const read = new Map();

/** @param {object} set */
function intactOf(set) {
  const none = { ...set, lesions: [], left_appendage: "kept" }, size = JSON.stringify(none);
  const known = read.get(size);
  if (known) return known;
  const asked = /** @type {Promise<Api.Result>} */ (post(at("/conduction"), none));
  read.set(size, asked);
  asked.catch(() => read.delete(size));
  return asked;
}

/** @param {{set: object, result: Api.Result}} props set: the lesion-set file the result is of */
export function BeforeAfter({ set, result }) {
  const [intact, setIntact] = useState(/** @type {Api.Result | null} */ (null));
  const size = JSON.stringify({ ...set, lesions: [], left_appendage: "" });
  useEffect(() => {
    let wanted = true;
    intactOf(set).then(found => wanted && setIntact(found), () => wanted && setIntact(null)); // without it the plan's column stands alone
    return () => { wanted = false; };
  }, [size]);
  return html`<table class="before-after-table">
    <caption>Before and after</caption>
    <thead><tr><td></td>${intact && html`<th scope="col">Intact</th>`}<th scope="col">This plan</th></tr></thead>
    <tbody>${rows.map(([says, of]) => html`<tr><th scope="row">${says}</th>${intact && html`<td>${of(intact)}</td>`}<td>${of(result)}</td></tr>`)}</tbody>
  </table>
  <p class="small">Trigger sites: veins 60 %, posterior wall 20 % of them (common practice, no source). Substrate: share of a chamber's connected tissue in corridors wider than the wavelength / π
    (${plain(result.wavelength_mm / Math.PI, 0)} mm); no claim on outcome.</p>`;
}

/** @param {"can-sustain" | "possible"} verdict */
const count = verdict => (/** @type {Api.Result} */ result) => String(outcomes(result).flatMap(({ outcome }) => outcome.circuits).filter(one => one.verdict === verdict).length);
/** @param {number | null | undefined} value */
const ms = value => (value === null || value === undefined ? "not reached" : `${Math.round(value)} ms`);
/** @param {number} value */
const share = value => `${Math.round(value)} %`;

/** @type {[string, (result: Api.Result) => string][]} */
const rows = [
  ["Circuits that can sustain flutter", count("can-sustain")],
  ["Circuits possible in a remodelled atrium", count("possible")],
  ["Left atrial tissue no longer connected", result => share(result.left_atrium.isolated_percent)],
  ["Right atrial tissue no longer connected", result => share(result.right_atrium.isolated_percent)],
  ["Trigger sites isolated", result => share(result.trigger_cover_percent)],
  ["Substrate left, left atrium", result => share(result.substrate_left.left_percent)],
  ["Substrate left, right atrium", result => share(result.substrate_left.right_percent)],
  ["Left atrium: last place reached", result => ms(result.activation.left_atrium.latest_ms)],
  ["Right atrium: last place reached", result => ms(result.activation.right_atrium.latest_ms)],
  ["AV node reached", result => ms(result.activation.av_node_ms)],
];
