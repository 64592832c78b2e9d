// A scenario as its file: to read, to download, to replace a draft with another file.
import { useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { put } from "../lib/api.js";
import { html } from "../lib/html.js";
import { navigate } from "../lib/navigate.js";
import { useResource } from "../lib/resource.js";
import { at } from "../lib/session.js";
import { forgetUnsaved } from "../lib/unsaved.js";
import { FileImport } from "../parts/file-import.js";
import { Page } from "../parts/page.js";
import { Show } from "../parts/waiting.js";

/** @param {{params: Record<string, string>}} props */
export function EditionFilePage({ params }) {
  const id = encodeURIComponent(params.edition), path = at(`/library/${id}`);
  const edition = useResource(path);
  const file = useResource(`${path}/file`);
  const read = /** @type {Api.EditionDetail | undefined} */ (edition.data);
  return html`<${Page} title=${read ? `${read.head.title || read.head.id}: the file` : "File"} lead="The scenario in YAML, as the command isthmus check reads it." kind="wide">
    <p class="ways"><a href="/library">Library</a><a href=${`/library/${id}`}>Back to the scenario</a><a href=${`/api${path}/file`} download=${`${params.edition}.yaml`}>Download</a></p>
    <${Show} of=${file} what="the file">${(/** @type {string} */ yaml) => html`<${Show} of=${edition} what="the scenario">${(/** @type {Api.EditionDetail} */ detail) => (detail.head.may.includes("edit")
      ? html`<${Replacing} yaml=${yaml} detail=${detail} path=${path} />` : html`<pre class="yaml" tabindex="0" aria-label="The scenario as YAML">${yaml}</pre>`)}<//>`}<//>
  <//>`;
}

/** The text of the file becomes the draft. @param {{yaml: string, detail: Api.EditionDetail, path: string}} props */
function Replacing({ yaml, detail, path }) {
  const [state, setState] = useState(/** @type {{busy: boolean, problem: unknown}} */ ({ busy: false, problem: null }));
  const replace = async (/** @type {string} */ text) => {
    setState({ busy: true, problem: null });
    try {
      await put(path, { yaml: text }, { revision: detail.head.revision });
      forgetUnsaved(detail.head.id);
      announce("The draft is what the file says.");
      navigate(`/library/${encodeURIComponent(detail.head.id)}`);
    } catch (problem) {
      setState({ busy: false, problem });
    }
  };
  return html`<${FileImport} start=${yaml} confirm="Replace the draft with this" busy=${state.busy} problem=${state.problem} onGiven=${replace} />`;
}
