// One case: its record, what is computed from it, what was signed, and what can be done with it.
import { useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { post } from "../lib/api.js";
import { timeWords } from "../lib/days.js";
import { html } from "../lib/html.js";
import { useResource } from "../lib/resource.js";
import { counted } from "../lib/numbers.js";
import { at, session } from "../lib/session.js";
import { named } from "../lib/words.js";
import { reasonsAmiss, stoppedIn } from "../model/kept-words.js";
import { CaseHistory, SignedStatement } from "../parts/case-history.js";
import { ComputedFacts, RecordFacts } from "../parts/case-facts.js";
import { SharedCases } from "../parts/case-shared.js";
import { amending, statusWords, title } from "../parts/case-rows.js";
import { CaseFollowUps } from "../parts/case-follow-ups.js";
import { Caution } from "../parts/caution.js";
import { LesionTable } from "../parts/lesion-table.js";
import { Page } from "../parts/page.js";
import { ReasonAct } from "../parts/reason-act.js";
import { RoleWhy } from "../parts/role-why.js";
import { useAtrium } from "../parts/use-atrium.js";
import { Show, Trouble } from "../parts/waiting.js";

/** @param {{params: Record<string, string>}} props */
export function CasePage({ params }) {
  const path = at(`/cases/${encodeURIComponent(params.case)}`);
  const detail = useResource(path);
  const atrium = useAtrium();
  const read = /** @type {Api.CaseDetail | undefined} */ (detail.data);
  const name = read ? title({ operation: read.case.record.operation, scope: read.case.computed?.scope || "" }, atrium.data?.facts.operations) : "Case";
  const own = read?.case.trainee === session.value?.person.id;
  const lead = read && html`${statusWords(read.case.status, own, amending(read.case.signed_version, read.case.status))}${own ? "" : html`, <a href=${`/trainees/${read.case.trainee}/standing`}>${read.trainee_name}</a>`}`;
  return html`<${Page} title=${name} lead=${lead}>
    <${Show} of=${detail} what="the case">${(/** @type {Api.CaseDetail} */ shown) => html`
      <${Show} of=${atrium} what="the catalogue">${(/** @type {import("../model/atrium.js").Atrium} */ shape) => html`
        <${Acts} detail=${shown} path=${path} onDone=${detail.set} reload=${detail.reload} />
        <${SharedCases} detail=${shown} path=${path} atrium=${shape} onDone=${detail.set} />
        <${CaseBody} detail=${shown} atrium=${shape} />`}<//>`}<//>
  <//>`;
}

/** @param {{detail: Api.CaseDetail, atrium: import("../model/atrium.js").Atrium}} props */
function CaseBody({ detail, atrium }) {
  const { record, computed } = detail.case;
  const last = detail.sign_offs[detail.sign_offs.length - 1];
  const by = (/** @type {Api.Step[]} */ steps) => (/** @type {string} */ step) => { const one = steps.find(s => s.step === step); return one ? named(atrium.facts.performers, one.performed_by) : ""; };
  const older = last && last.case_version !== detail.case.version ? ` of version ${last.case_version}` : ""; // an amendment waits for its signature
  const accounts = [{ title: "By, trainee's account", of: by(record.steps) }, ...(last ? [{ title: `By, supervisor's account${older}`, of: by(last.statement.steps) }] : [])];
  return html`<div class="two">
    <section aria-label="Record">
      <h2>Record</h2>
      <${RecordFacts} record=${record} facts=${atrium.facts} supervisor=${detail.supervisor_name} />
      ${record.note && html`<p>${record.note}</p>`}
      ${detail.case.version > 0 && html`<${CaseFollowUps} id=${detail.case.id} />`}
      <h2>What happened to it</h2>
      <${CaseHistory} acts=${detail.acts} />
      ${detail.case.version > 0 && html`<p><a href=${`/cases/${detail.case.id}/versions`}>Versions, and what changed between them</a></p>`}
    </section>
    <section aria-label="Computed">
      ${computed && html`<h2>Computed from the record</h2><${ComputedFacts} computed=${computed} />
        ${detail.role_accounts?.map((account, _, all) => html`<${RoleWhy} key=${account.of} account=${account} atrium=${atrium} alone=${all.length === 1} />`)}<${Caution} text=${detail.caution} />`}
      ${last && html`<h2>Sign-off${older}</h2><${SignedStatement} signOff=${last} facts=${atrium.facts} />
        ${detail.sign_offs.length > 1 && html`<p><a href=${`/cases/${detail.case.id}/versions`}>${counted(detail.sign_offs.length - 1, "earlier signature")}</a></p>`}`}
    </section>
  </div>
  <h2>Lesion set and steps</h2>
  <${LesionTable} atrium=${atrium} lesions=${record.lesions} appendage=${record.left_appendage} steps=${accounts} />`;
}

/** @param {{detail: Api.CaseDetail, path: string, onDone: (detail: Api.CaseDetail) => void, reload: () => void}} props */
function Acts({ detail, path, onDone, reload }) {
  const [busy, setBusy] = useState(false);
  const [problem, setProblem] = useState(/** @type {unknown} */ (null));
  const { id, revision, status } = detail.case;
  const own = detail.case.trainee === session.value?.person.id;
  const may = (/** @type {string} */ act) => detail.may.includes(act);
  const act = async (/** @type {string} */ what, /** @type {unknown} */ body, /** @type {string} */ done) => {
    setBusy(true);
    setProblem(null);
    try {
      onDone(await post(`${path}/${what}`, body, { revision }));
      announce(done);
    } catch (error) {
      setProblem(error);
    }
    setBusy(false);
  };
  const last = detail.acts.findLast(one => one.kind === "return" || one.kind === "amend"); // of an amendment that was asked for, it is said above
  const reason = last?.kind === "return" ? last.reason : "";
  return html`
    <${Amendment} detail=${detail} />
    ${status === "returned" && reason && html`<div class="notice"><p class="strong">Returned: what to correct</p><p>${reason}</p></div>`}
    ${problem && stoppedIn(problem).length + reasonsAmiss(problem).length === 0 && html`<${Trouble} problem=${problem} again=${() => { setProblem(null); reload(); }} />`}
    <div class="bar">
      ${may("sign-off") && html`<a class="button" href=${`/cases/${id}/sign-off`}>Sign off</a>`}
      ${may("submit") && html`<button type="button" disabled=${busy} onClick=${() => act("submission", {}, "Submitted for sign-off.")}>${may("restore") ? "Submit the amendment" : "Submit for sign-off"}</button>`}
      ${may("edit") && html`<a class="button quiet" href=${`/cases/${id}/edit`}>Edit</a>`}
      ${may("return") && !may("sign-off") && html`<${ReasonAct} name="Return to the trainee" label="What to correct" confirm="Return" busy=${busy} problem=${problem}
        onGiven=${(/** @type {string} */ given, /** @type {Api.Override[]} */ overrides) => act("return", { reason: given, overrides }, "Returned to the trainee.")} />`}
      ${may("amend") && html`<${ReasonAct} name=${own ? "Amend" : "Ask for an amendment"} label=${own ? "What was wrong in it" : "What the trainee should change"} confirm=${own ? "Open the amendment" : "Ask the trainee"} busy=${busy} problem=${problem}
        onGiven=${(/** @type {string} */ given, /** @type {Api.Override[]} */ overrides) => act("amendment", { reason: given, overrides }, own ? "Open for an amendment." : "The trainee is asked to amend it.")} />`}
      ${may("restore") && html`<${ReasonAct} name="Give the amendment up" label="Why it is given up" confirm="Give it up" busy=${busy} problem=${problem}
        onGiven=${(/** @type {string} */ given, /** @type {Api.Override[]} */ overrides) => act("restoration", { reason: given, overrides }, "Given up. The case stands as it was signed.")} />`}
      ${may("withdraw") && html`<${ReasonAct} name="Withdraw" label="Why it is withdrawn" confirm="Withdraw the case" busy=${busy} problem=${problem}
        onGiven=${(/** @type {string} */ given, /** @type {Api.Override[]} */ overrides) => act("withdrawal", { reason: given, overrides }, "Withdrawn. The record stays.")} />`}
    </div>`;
}

/** Said while an amendment is open: what counts meanwhile. @param {{detail: Api.CaseDetail}} props */
function Amendment({ detail }) {
  const { signed_version: signed, status, version } = detail.case;
  if (!amending(signed, status)) return null;
  const opened = detail.acts.findLast(one => one.kind === "amend");
  const hidden = status !== "submitted" && detail.case.trainee !== session.value?.person.id && version === signed;
  return html`<div class="notice"><p class="strong">An amendment is open</p>
    ${opened && html`<p>${opened.by_name} ${opened.by === detail.case.trainee ? "opened it" : "asked for it"}, ${timeWords(opened.at)}: <q>${opened.reason}</q></p>`}
    <p>Version ${signed}, as it was signed, counts until ${detail.supervisor_name} has signed the next version.${hidden ? " It is what is shown here: the amendment is not handed in yet." : ""}</p></div>`;
}
