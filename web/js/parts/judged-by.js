// Which version of the standard judges a trainee, and why; the director can move them to another.
import { dayWords } from "../lib/days.js";
import { html } from "../lib/html.js";
import { useResource } from "../lib/resource.js";
import { at, has } from "../lib/session.js";
import { MoveForm } from "./move-form.js";

/** @param {{trainee: {id: string, name: string}, applied: Api.AppliedStandard, onMoved: () => void}} props */
export function JudgedBy({ trainee, applied, onMoved }) {
  const versions = useResource(has("director") ? at("/standards") : null);
  const others = /** @type {{items: Api.StandardItem[]} | undefined} */ (versions.data)?.items.filter(one => one.version !== applied.version) || [];
  const { move } = applied;
  return html`<p class="judged-by">Judged by <a href=${`/standards/${applied.version}`}>version ${applied.version}</a>${move
    ? ` since ${dayWords(applied.since)}: moved by ${move.moved_by_name}, because “${move.reason.replace(/\.$/, "")}”.`
    : `, the version that applied on joining, ${dayWords(applied.since)}.`}${applied.example && html` <span class="strong">Example: the programme sets its own numbers.</span>`}</p>
    ${others.length > 0 && html`<${MoveForm} name="Move to another version" trainees=${[trainee]} versions=${others} onMoved=${onMoved} />`}`;
}
