// Simulations: a standard tried on made-up trainees before it judges anybody. The list, and one of them while it runs and after.
import { useEffect, useState } from "preact/hooks";
import { get, post } from "../lib/api.js";
import { timeWords } from "../lib/days.js";
import { html } from "../lib/html.js";
import { at, has } from "../lib/session.js";
import { Caution } from "../parts/caution.js";
import { List } from "../parts/list.js";
import { Page } from "../parts/page.js";
import { Row } from "../parts/row.js";
import { SimulationFound, SimulationPlan } from "../parts/simulation-found.js";
import { useAct } from "../parts/use-act.js";
import { Empty, Loading, Trouble } from "../parts/waiting.js";

const states = { waiting: "running", done: "done", failed: "failed", cancelled: "cancelled" };

export function SimulationsPage() {
  return html`<${Page} title="Simulations" lead="A standard tried on made-up trainees before it judges anybody: whom it would pass, how soon, and which line holds people back.">
    ${has("director") && html`<div class="bar"><a class="button" href="/simulations/new">Try a standard</a></div>`}
    <${List} path=${at("/simulations")} what="the simulations" empty=${html`<${Empty} says="None yet." />`}>
      ${(/** @type {Api.Simulation[]} */ items) => html`<ul class="rows">${items.map(one => html`<li key=${one.id}><${Row} to=${`/simulations/${one.id}`} name=${one.title}
        detail=${`${one.total.toLocaleString("en")} made-up trainees, ${one.by_name}, ${timeWords(one.created_at)}`} after=${states[one.state]} /></li>`)}</ul>`}
    <//>
    <p><a href="/standards">The standards</a></p>
  <//>`;
}

/** How often a running simulation is looked at, in ms. */
const pace = 400;

/** @param {{params: Record<string, string>}} props */
export function SimulationPage({ params }) {
  const path = at(`/simulations/${encodeURIComponent(params.simulation)}`);
  const [one, setOne] = useState(/** @type {Api.SimulationWhole | null} */ (null));
  const [trouble, setTrouble] = useState(/** @type {unknown} */ (null));
  const [turn, setTurn] = useState(0);
  const { busy, problem, act } = useAct();
  useEffect(() => {
    const abort = new AbortController();
    let timer = 0;
    const read = () => /** @type {Promise<Api.SimulationWhole>} */ (get(path, { signal: abort.signal })).then(got => {
      setOne(got);
      setTrouble(null);
      if (got.state === "waiting") timer = window.setTimeout(read, pace);
    }, error => { if (!abort.signal.aborted) setTrouble(error); });
    read();
    return () => { abort.abort(); clearTimeout(timer); };
  }, [path, turn]);
  const again = () => setTurn(before => before + 1);
  const cancel = () => act("The simulation is cancelled.", () => post(`${path}/cancel`, undefined, { revision: one?.revision })).then(again);
  return html`<${Page} title=${one?.title || "Simulation"} lead=${one && `${one.total.toLocaleString("en")} made-up trainees, asked for by ${one.by_name}, ${timeWords(one.created_at)}`}>
    ${trouble ? html`<${Trouble} problem=${trouble} again=${again} />` : null}
    ${problem && html`<${Trouble} problem=${problem} />`}
    ${!one && !trouble && html`<${Loading} what="the simulation" />`}
    ${one?.state === "waiting" && html`<div class="running"><p role="status">${one.ready === 0 ? "Waiting for its turn." : `${one.ready.toLocaleString("en")} of ${one.total.toLocaleString("en")} trainees.`}</p>
      <progress max=${one.total} value=${one.ready} aria-label="Made-up trainees simulated"></progress>
      ${one.may.includes("cancel") && html`<button type="button" class="quiet" disabled=${busy} onClick=${cancel}>Cancel</button>`}</div>`}
    ${one?.state === "failed" && html`<p class="fault">It failed: ${one.message}</p>`}
    ${one?.state === "cancelled" && html`<p>It was cancelled before it came to an end.</p>`}
    ${one && html`<${Caution} text=${one.caution} />`}
    ${one?.result && html`<${SimulationFound} found=${one.result} plan=${one.plan} charts=${one.charts} caution=${one.caution} />`}
    ${one && html`<${SimulationPlan} plan=${one.plan} />`}
    ${one && has("director") && html`<p><a href=${`/simulations/new?from=${one.id}`}>Change something and run it again</a></p>`}
    <p><a href="/simulations">All simulations</a></p>
  <//>`;
}
