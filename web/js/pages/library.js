// The library: every scenario of the programme with where it stands, and beginning or importing one.
import { useState } from "preact/hooks";
import { html } from "../lib/html.js";
import { dayWords } from "../lib/days.js";
import { counted } from "../lib/numbers.js";
import { at, session } from "../lib/session.js";
import { named, Word, word } from "../lib/words.js";
import { inOrder, matching, nextStep, waitsForMe } from "../model/edition.js";
import { Caution } from "../parts/caution.js";
import { SelectField, TextField } from "../parts/field.js";
import { Page } from "../parts/page.js";
import { Row } from "../parts/row.js";
import { StatusSign } from "../parts/signs.js";
import { useAll } from "../parts/use-all.js";
import { useAtrium } from "../parts/use-atrium.js";
import { Empty, Show } from "../parts/waiting.js";

const statuses = ["draft", "in-review", "live", "retired"].map(id => ({ id, name: Word(id) }));

export function LibraryPage() {
  const library = useAll(at("/library"));
  const operations = useAtrium().data?.facts.operations;
  const [status, setStatus] = useState("");
  const [text, setText] = useState("");
  const me = session.value?.person.id || "";
  return html`<${Page} title="Library" lead="The scenarios of the programme. Faculty write them, another member of faculty reviews them, and only then trainees answer them." kind="wide">
    <div class="bar"><a class="button" href="/library/new">New scenario</a><a class="button quiet" href="/library/import">Import a file</a></div>
    <${Show} of=${library} what="the library">${(/** @type {Api.Edition[]} */ heads) => {
      const shown = inOrder(matching(heads, status, text), me), waiting = heads.filter(head => waitsForMe(head, me)).length;
      return html`
        ${waiting > 0 && html`<p class="strong">${counted(waiting, "scenario")} ${waiting === 1 ? "waits" : "wait"} for your review.</p>`}
        <div class="filters">
          <${SelectField} label="Status" value=${status} options=${statuses} choose="Any" onValue=${setStatus} />
          <${TextField} label="Find" type="search" hint="Title, author, AF pattern or operation." value=${text} onValue=${setText} />
        </div>
        <p class="small" role="status">${shown.length === heads.length ? counted(heads.length, "scenario") : `${shown.length} of ${counted(heads.length, "scenario")}`}</p>
        ${shown.length === 0 ? html`<${Empty} says="No scenario fits.">Choose another status, or look for fewer words.<//>`
          : html`<ul class="rows library">${shown.map(head => html`<li key=${head.id}><${Head} head=${head} me=${me} operations=${operations} /></li>`)}</ul>`}
        ${library.caution && html`<${Caution} text=${library.caution} />`}`;
    }}<//>
  <//>`;
}

/** @param {{head: Api.Edition, me: string, operations?: Api.Named[]}} props */
function Head({ head, me, operations }) {
  const facts = [head.pattern && Word(head.pattern), named(operations, head.operation)].filter(Boolean).join("; ");
  const people = [head.source === "starter" && !head.author_name ? "starter pack" : head.author_name && `by ${head.author_name}`, head.reviewer_name && `reviewed by ${head.reviewer_name}`,
    head.revision > 0 && dayWords(head.updated_at)].filter(Boolean).join(", ");
  return html`<${Row} to=${`/library/${encodeURIComponent(head.id)}`} name=${head.title || head.id} detail=${html`${facts && html`<span class="line">${facts}</span>`}<span class="line">${people}</span>`}
    before=${html`<span class="status-words"><${StatusSign} status=${head.status} /><span>${Word(head.status)}<small>${versionWords(head)}</small></span></span>`}
    after=${html`<span class=${waitsForMe(head, me) ? "strong" : ""}>${nextStep(head, me)}</span>`} />`;
}

/** @param {Api.Edition} head */
function versionWords({ version, live_version: live, status }) {
  if (live && live !== version) return `version ${version}; ${live} is live`;
  return status === "live" || live === version ? `version ${version}` : `version ${version}, ${word("not live")}`;
}
