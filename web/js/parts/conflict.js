// Someone changed the case meanwhile: both versions of what differs, and the choice between them.
import { html } from "../lib/html.js";
import { capital } from "../lib/words.js";
import { differences } from "../model/case-record.js";

/** @param {{mine: Api.CaseRecord, theirs: Api.CaseDetail, onMine: () => void, onTheirs: () => void}} props */
export function Conflict({ mine, theirs, onMine, onTheirs }) {
  const fields = differences(mine, theirs.case.record);
  return html`<div class="notice" role="alert">
    <p class="strong">This case was changed elsewhere while you were editing it.</p>
    ${fields.length === 0 ? html`<p>Both versions say the same.</p>` : html`<div class="scroll" tabindex="0" role="region" aria-label="What differs"><table>
      <thead><tr><th scope="col">What differs</th><th scope="col">Yours</th><th scope="col">The newer one</th></tr></thead>
      <tbody>${fields.map(field => html`<tr><th scope="row">${capital(String(field).replaceAll("_", " "))}</th><td>${inShort(mine[field])}</td><td>${inShort(theirs.case.record[field])}</td></tr>`)}</tbody>
    </table></div>`}
    <div class="bar"><button type="button" onClick=${onMine}>Keep mine, on top of the newer one</button><button type="button" class="quiet"
      onClick=${onTheirs}>Take the newer one</button></div>
  </div>`;
}

/** @param {unknown} value @returns {string} */
function inShort(value) {
  if (value === undefined || value === "") return "-";
  if (Array.isArray(value)) return value.map(inShort).join("; ") || "none";
  if (typeof value === "object" && value !== null) return Object.values(value).map(inShort).join(", ");
  return value === true ? "yes" : value === false ? "no" : String(value).replaceAll("-", " ");
}
