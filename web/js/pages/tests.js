// The programme's own tests of questions: the list, and beginning one.
import { useRef, useState } from "preact/hooks";
import { post } from "../lib/api.js";
import { html } from "../lib/html.js";
import { navigate } from "../lib/navigate.js";
import { at } from "../lib/session.js";
import { uuid } from "../lib/uuid.js";
import { Word } from "../lib/words.js";
import { cutWords, emptyTest, testFacts } from "../model/own-test.js";
import { TextField } from "../parts/field.js";
import { List } from "../parts/list.js";
import { Page } from "../parts/page.js";
import { Row } from "../parts/row.js";
import { StatusSign } from "../parts/signs.js";
import { useAct } from "../parts/use-act.js";
import { Empty, Trouble } from "../parts/waiting.js";

export function TestsPage() {
  const [title, setTitle] = useState("");
  const key = useRef(uuid());
  const { busy, problem, act, refuse, fault } = useAct("plan");
  const begin = (/** @type {Event} */ event) => {
    event.preventDefault();
    if (refuse([!title.trim() && { field: "title", says: "Say what the test is called." }])) return;
    act("Draft begun.", async () => {
      const made = /** @type {Api.TestDetail} */ (await post(at("/tests"), { plan: emptyTest(title.trim()) }, { key: key.current }));
      navigate(`/tests/${made.head.id}`);
    }).then(error => { if (error) key.current = uuid(); });
  };
  return html`<${Page} title="Tests" lead="The programme's own tests of questions. Faculty propose them, the director puts them to use, and a panel of judges sets the passing mark.">
    <${List} path=${at("/tests")} what="the tests" empty=${html`<${Empty} says="No test of your own yet.">Trainees are offered the ones that come with the program: one over all topics and one for each.<//>`}>
      ${(/** @type {Api.TestHead[]} */ items) => html`<ul class="rows library">${items.map(one => html`<li key=${one.id}><${Row} to=${`/tests/${one.id}`} name=${one.title}
        detail=${html`<span class="line">${testFacts(one)}</span><span class="line">${cutWords(one.cut)}</span>`}
        before=${html`<span class="status-words"><${StatusSign} status=${one.status} /><span>${Word(one.status)}<small>version ${one.version}${one.live_version && one.live_version !== one.version ? `; ${one.live_version} is live` : ""}</small></span></span>`} /></li>`)}</ul>`}
    <//>
    <section aria-labelledby="new-title"><h2 id="new-title">New test</h2>
      ${problem && html`<${Trouble} problem=${problem} />`}
      <form class="narrow-form" novalidate onSubmit=${begin}>
        <${TextField} label="What it is called" name="title" maxlength=${120} hint="Trainees see this name." value=${title} fault=${fault("title")} onValue=${setTitle} />
        <button type="submit" class="main-act" disabled=${busy}>Begin the draft</button>
      </form>
    </section>
    <p><a href="/questions">The questions</a></p>
  <//>`;
}
