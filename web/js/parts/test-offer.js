// Sitting a scenario as a test: what that means is said before the time runs.
import { useRef, useState } from "preact/hooks";
import { post, withQuery } from "../lib/api.js";
import { html } from "../lib/html.js";
import { navigate } from "../lib/navigate.js";
import { counted } from "../lib/numbers.js";
import { ApiProblem } from "../lib/problem.js";
import { useResource } from "../lib/resource.js";
import { at, session } from "../lib/session.js";
import { uuid } from "../lib/uuid.js";
import { OpenTests } from "./open-tests.js";
import { Trouble } from "./waiting.js";

/** @param {{scenario: Api.Scenario}} props */
export function TestOffer({ scenario }) {
  const sat = useResource(at(withQuery("/sittings", { scenario: scenario.id, trainee: session.value?.person.id })));
  const [open, setOpen] = useState(false);
  const taken = /** @type {Api.Page<Api.SittingItem> | undefined} */ (sat.data)?.items.find(one => one.scenario_version === scenario.version);
  if (taken) {
    return html`<p class="modes">You sat this scenario as a test, and it counts once. ${taken.plan_id ? html`<a href=${`/plans/${taken.plan_id}`}>See its grade</a>` : html`<a href=${`/sittings/${taken.id}`}>See how it ended</a>`}</p>`;
  }
  return html`<div class="modes">
    ${!open && html`<button type="button" class="quiet" onClick=${() => setOpen(true)}>Sit as a test</button>`}
    ${open && html`<${Terms} scenario=${scenario} onClose=${() => setOpen(false)} />`}
  </div>`;
}

/** @param {{scenario: Api.Scenario, onClose: () => void}} props */
function Terms({ scenario, onClose }) {
  const key = useRef(uuid());
  const [state, setState] = useState(/** @type {{busy: boolean, problem: unknown}} */ ({ busy: false, problem: null }));
  const start = async () => {
    setState({ busy: true, problem: null });
    try {
      const sitting = /** @type {Api.Sitting} */ (await post(at("/sittings"), { scenario: scenario.id }, { key: key.current }));
      navigate(`/sittings/${sitting.id}`);
    } catch (problem) {
      setState({ busy: false, problem });
    }
  };
  const minutes = scenario.minutes_limit || 0;
  const elsewhere = state.problem instanceof ApiProblem && state.problem.kind === "test-open";
  return html`<section class="notice" aria-label="Before the test starts">
    <p class="strong">${minutes > 0 ? `You have ${counted(minutes, "minute")}. They run from the moment you start, also while this page is closed.` : "The test has no time limit."}</p>
    <ul>
      <li>It counts once. What your lesions do, your earlier grades of this scenario and all practice are hidden until you submit.</li>
      <li>The plan saves itself as you go. You can go on after a lost connection, or on another device.</li>
      ${minutes > 0 && html`<li>When the time is up, what was saved by then is graded.</li>`}
    </ul>
    ${elsewhere ? html`<${OpenTests} />` : state.problem && html`<${Trouble} problem=${state.problem} />`}
    <div class="bar"><button type="button" disabled=${state.busy} onClick=${start}>Start the test</button><button type="button" class="quiet" onClick=${onClose}>Not now</button></div>
  </section>`;
}
