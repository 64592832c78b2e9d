// Writing the next version of the scope policy, with what is wrong and what would change beside it.
import { useEffect, useState } from "preact/hooks";
import { History } from "../acts/history.js";
import { writePolicy } from "../acts/policy.js";
import { afterRender } from "../lib/after-render.js";
import { announce } from "../lib/announce.js";
import { post } from "../lib/api.js";
import { today } from "../lib/days.js";
import { html } from "../lib/html.js";
import { navigate } from "../lib/navigate.js";
import { counted } from "../lib/numbers.js";
import { ApiProblem } from "../lib/problem.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { nextVersion, policyField, tabOf } from "../model/policy.js";
import { NumberField, TextField } from "../parts/field.js";
import { asLines, goTo } from "../parts/fault-summary.js";
import { Page } from "../parts/page.js";
import { PolicyParts } from "../parts/policy-parts.js";
import { PolicyPreview } from "../parts/policy-preview.js";
import { useAtrium } from "../parts/use-atrium.js";
import { useUndoKeys } from "../parts/use-undo-keys.js";
import { Show, Trouble } from "../parts/waiting.js";

/** @param {{query: URLSearchParams}} props */
export function NewScopePolicyPage({ query }) {
  const from = query.get("from");
  const start = useResource(at(from ? `/scope-policies/${encodeURIComponent(from)}` : "/scope-policy"));
  const list = useResource(at("/scope-policies"));
  const atrium = useAtrium();
  return html`<${Page} title="New version of the scope policy" lead="It is checked while you write. Once added it never changes, and grades from its day on name it." kind="wide">
    <${Show} of=${start} what="the version it begins with">${(/** @type {Api.ScopePolicyDetail} */ begun) => html`<${Show} of=${list} what="the versions">${(/** @type {{items: Api.ScopePolicyItem[]}} */ { items }) => html`
      <${Show} of=${atrium} what="the words">${(/** @type {import("../model/atrium.js").Atrium} */ shape) => html`
        <${Writing} begun=${begun} latest=${Math.max(0, ...items.filter(one => one.source === "own").map(one => one.version))} facts=${shape.facts} />`}<//>`}<//>`}<//>
  <//>`;
}

/** The faults of a policy, found a moment after each change. @param {Api.ScopePolicy} policy */
function usePolicyCheck(policy) {
  const wanted = JSON.stringify(policy);
  const [state, setState] = useState(/** @type {{of: string, lines: {field: string, says: string}[], problem: unknown}} */ ({ of: "", lines: [], problem: null }));
  useEffect(() => {
    const abort = new AbortController();
    const timer = setTimeout(() => {
      post(at("/scope-policies/preview"), { policy: JSON.parse(wanted), check: true }, { signal: abort.signal }).then(
        () => setState({ of: wanted, lines: [], problem: null }),
        problem => {
          if (abort.signal.aborted) return;
          const lines = problem instanceof ApiProblem && problem.errors.length > 0 ? asLines(problem.byField("policy")) : [];
          setState({ of: wanted, lines, problem: lines.length > 0 ? null : problem });
        },
      );
    }, 600);
    return () => { clearTimeout(timer); abort.abort(); };
  }, [wanted]);
  return { ...state, stale: state.of !== wanted };
}

/** @param {{begun: Api.ScopePolicyDetail, latest: number, facts: Api.Atrium}} props */
function Writing({ begun, latest, facts }) {
  const [history, setHistory] = useState(() => new History(nextVersion(begun.policy, latest)));
  const [day, setDay] = useState(today());
  const [tab, setTab] = useState("rows");
  const [open, setOpen] = useState(-1);
  const [sent, setSent] = useState(/** @type {{busy: boolean, problem: unknown}} */ ({ busy: false, problem: null }));
  const policy = history.now, check = usePolicyCheck(policy);
  const act = (/** @type {import("../acts/policy.js").PolicyAct} */ one) => setHistory(before => before.after(one));
  const undo = () => setHistory(before => before.undone()), redo = () => setHistory(before => before.redone());
  useUndoKeys(undo, redo);
  const refused = sent.problem instanceof ApiProblem && sent.problem.errors.length > 0 ? asLines(sent.problem.byField("policy")) : [];
  const faults = new Map([...check.lines, ...refused].map(line => [line.field, line.says]));
  const go = (/** @type {string} */ field) => {
    const row = /^rows\[(\d+)\]/.exec(field);
    if (field !== "in_force_from") setTab(tabOf(field));
    if (row) setOpen(Number(row[1]));
    afterRender(() => goTo(field));
  };
  const add = async () => {
    setSent({ busy: true, problem: null });
    try {
      const made = /** @type {Api.ScopePolicyDetail} */ (await post(at("/scope-policies"), { policy, in_force_from: day }));
      announce("Version added.");
      navigate(`/scope-policies/${made.version}`);
    } catch (problem) {
      setSent({ busy: false, problem });
    }
  };
  return html`
    <${Found} lines=${check.lines} refused=${refused} policy=${policy} onGo=${go} stale=${check.stale} />
    ${check.problem && html`<${Trouble} problem=${check.problem} />`}
    <div class="policy-head">
      <${TextField} label="Title" name="title" maxlength=${120} value=${policy.title} fault=${faults.get("title")} onValue=${(/** @type {string} */ title) => act(writePolicy(["title"], title, "the title"))} />
      <${TextField} label="Id" name="id" maxlength=${80} hint="A grade names it beside the version." value=${policy.id} fault=${faults.get("id")} onValue=${(/** @type {string} */ id) => act(writePolicy(["id"], id, "the id"))} />
      <${NumberField} label="Version" name="version" min=${latest + 1} value=${policy.version} fault=${faults.get("version")} onValue=${(/** @type {number} */ version) => act(writePolicy(["version"], version, "the version"))} />
      <${TextField} label="In force from" name="in_force_from" type="date" value=${day} fault=${faults.get("in_force_from")} onValue=${setDay} />
    </div>
    <${PolicyParts} policy=${policy} facts=${facts} faults=${faults} onAct=${act} tab=${tab} onTab=${setTab} open=${open} onOpen=${setOpen} more=${[{ id: "preview", name: "What changes" }]}>
      <div class=${tab === "preview" ? "" : "gone"}><${PolicyPreview} policy=${policy} faults=${check.lines.length} /></div><//>
    <div class="save-bar" role="group" aria-label="Saving">
      ${sent.problem && refused.length === 0 && html`<${Trouble} problem=${sent.problem} />`}
      <div class="bar"><button type="button" disabled=${sent.busy || check.stale || check.lines.length > 0} onClick=${add}>Add this version</button>
        <button type="button" class="quiet" disabled=${!history.undoes} title=${history.undoes} onClick=${undo}>Undo</button><button type="button" class="quiet" disabled=${!history.redoes} title=${history.redoes} onClick=${redo}>Redo</button></div>
      <p class="small">${check.stale ? "The last changes are being checked." : check.lines.length > 0 ? `${counted(check.lines.length, "fault")} to mend first.` : "What is graded already keeps its grade."}</p>
    </div>`;
}

/** @param {{lines: {field: string, says: string}[], refused: {field: string, says: string}[], policy: Api.ScopePolicy, onGo: (field: string) => void, stale: boolean}} props */
function Found({ lines, refused, policy, onGo, stale }) {
  const all = [...lines, ...refused];
  if (all.length === 0) return html`<p class="found" role="status"><span class="strong">${stale ? "Being checked." : "No fault."}</span></p>`;
  return html`<details class="found fault-summary" open><summary><span class="strong">${counted(all.length, "fault")} to mend</span></summary>
    <ul>${all.map(({ field, says }) => html`<li><a href=${`#${field}`} onClick=${(/** @type {Event} */ event) => { event.preventDefault(); onGo(field); }}>${field ? `${policyField(field, policy)}: ${says}` : says}</a></li>`)}</ul></details>`;
}
