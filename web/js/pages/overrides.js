// What people let past the privacy screen, for the director to look at: where, who, when, what kind and why. The words stand in their place only.
import { useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { post } from "../lib/api.js";
import { timeWords } from "../lib/days.js";
import { html } from "../lib/html.js";
import { at, session } from "../lib/session.js";
import { capital } from "../lib/words.js";
import { List } from "../parts/list.js";
import { Page } from "../parts/page.js";
import { Empty, Trouble } from "../parts/waiting.js";

/** @param {{query: URLSearchParams}} props */
export function OverridesPage({ query }) {
  const all = query.get("show") === "all";
  const none = all ? html`<${Empty} says="Nobody has kept anything that the screen stopped." />`
    : html`<${Empty} says="Nothing waits for you."><a href="/overrides?show=all">Show those you have seen</a><//>`;
  return html`<${Page} title="Overrides" lead="Words that the privacy screen stopped and that somebody kept. Read them in their place; they are not repeated here." kind="wide">
    <p>${all ? html`<a href="/overrides">Only those that wait</a>` : html`<a href="/overrides?show=all">All, with those that were seen</a>`}</p>
    <${List} key=${String(all)} path=${at("/overrides")} query=${{ waiting: all ? undefined : "true" }} what="the overrides" empty=${none}>
      ${(/** @type {Api.KeptOverride[]} */ items) => html`<ol class="rows">${items.map(one => html`<${Line} key=${one.id} one=${one} />`)}</ol>`}
    <//>
  <//>`;
}

/** @type {Record<string, {path: string, name: string}>} where the texts of an object are read */
const places = {
  case: { path: "/cases/", name: "case" }, plan: { path: "/plans/", name: "plan" }, sitting: { path: "/sittings/", name: "test" }, edition: { path: "/library/", name: "scenario" },
  question: { path: "/questions/", name: "question" }, test: { path: "/tests/", name: "test of questions" },
  "follow-up": { path: "/cases/", name: "follow-up" }, meeting: { path: "/meetings/", name: "meeting" }, decision: { path: "/decisions/", name: "decision" },
};

/** @type {Record<string, string>} */
const fields = { note: "the note", keep: "one thing to keep", change: "one thing to change", reason: "a reason", reasons: "the reasons", conditions: "the conditions", remark: "a remark", text: "the answer" };

/** @type {Record<string, string>} */
const kinds = { name: "a name", address: "an address" };

/** @param {{one: Api.KeptOverride}} props */
function Line({ one: first }) {
  const [one, setOne] = useState(first);
  const [problem, setProblem] = useState(/** @type {unknown} */ (null));
  const seen = () => {
    setProblem(null);
    /** @type {Promise<Api.KeptOverride>} */ (post(at(`/overrides/${one.id}/review`))).then(
      after => { setOne(after); announce("Marked as seen."); }, setProblem);
  };
  const place = places[one.object];
  const where = `${capital(fields[one.field] || one.field)} of a ${place?.name || one.object.replaceAll("-", " ")}`;
  return html`<li class="override">
    <p><strong>${place ? html`<a href=${place.path + (one.case || one.object_id)}>${where}</a>` : where}</strong>: looks like ${kinds[one.kind] || one.kind.replaceAll("-", " ")}. Kept by ${one.by_name}, ${timeWords(one.at)}.</p>
    <p>Why: <q>${one.reason}</q></p>
    ${one.seen_at ? html`<p class="small">Seen by ${one.seen_by_name}, ${timeWords(one.seen_at)}.</p>`
      : one.may.includes("review") ? html`<p><button type="button" class="quiet" onClick=${seen}>Seen</button></p>`
        : html`<p class="small">${one.by === session.value?.person.id ? "Your own: another director looks at it." : "Nobody has looked at it yet."}</p>`}
    ${problem && html`<${Trouble} problem=${problem} />`}
  </li>`;
}
