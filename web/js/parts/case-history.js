// What happened to a case, and the statements signed on it.
import { html } from "../lib/html.js";
import { counted } from "../lib/numbers.js";
import { timeWords } from "../lib/days.js";
import { capital, levelName, named, word } from "../lib/words.js";
import { eventWords } from "../model/statement.js";
import { Signature } from "./signature.js";

/** @type {Record<string, string>} */
const acts = { create: "began the case", edit: "changed the draft", submit: "submitted it", return: "returned it", "sign-off": "signed it off", withdraw: "withdrew it",
  amend: "opened it for an amendment", restore: "gave the amendment up",
  join: "said that another trainee's case is of the same operation", leave: "took it out of the group of one operation" };

/** @param {{acts: Api.CaseAct[]}} props */
export const CaseHistory = ({ acts: done }) => html`<ol class="history">
  ${done.map(act => html`<li><span>${act.by_name} ${acts[act.kind] || word(act.kind)}${act.version > 0 ? `, version ${act.version}` : ""}</span><small>${timeWords(act.at)}</small>${act.reason && html`<q>${act.reason}</q>`}</li>`)}
</ol>`;

/** @param {{signOff: Api.SignOff, facts: Api.Atrium}} props */
export function SignedStatement({ signOff, facts }) {
  const { statement } = signOff;
  return html`<section class="statement">
    <${Signature} signOff=${signOff} />
    <p>Judged ${counted(signOff.age_days, "day")} after the operation${signOff.late_recall ? ": late recall" : ""}.</p>
    <dl class="facts">
      <dt>Role confirmed</dt><dd>${word(signOff.role)}${signOff.role !== signOff.role_claimed ? `; the trainee's account gave ${word(signOff.role_claimed)}` : ""}</dd>
      <dt>Help given, looking back</dt><dd>${statement.help_given}, ${levelName(facts.help_levels, statement.help_given)}</dd>
      <dt>Supervision next time, looking ahead</dt><dd>${statement.supervision_next}, ${levelName(facts.supervision_levels, statement.supervision_next)}</dd>
      <dt>Events</dt><dd>${eventWords(statement, event => named(facts.events, event))}</dd>
      <dt>Keep</dt><dd>${statement.keep || "-"}</dd>
      <dt>Change</dt><dd>${statement.change || "-"}</dd>
    </dl>
    <p class="small">${capital(signOff.role_reason)}.</p>
  </section>`;
}
