// A page whose code comes only when it is opened: the first load stays small on a slow network.
import { useEffect, useState } from "preact/hooks";
import { html } from "../lib/html.js";
import { Loading, Trouble } from "./waiting.js";

/** @param {string} title shown while the code comes @param {() => Promise<any>} load what gives the page, for example a then() on import() */
export function lazy(title, load) {
  /** @type {any} */
  let known = null; // kept, so that coming back does not wait again
  return (/** @type {any} */ props) => {
    const [state, setState] = useState(/** @type {{page: any, problem: unknown}} */ ({ page: known, problem: null }));
    const bring = () => load().then(page => { known = page; setState({ page, problem: null }); }, problem => setState({ page: null, problem }));
    useEffect(() => { if (!known) bring(); }, []);
    if (state.page) return html`<${state.page} ...${props} />`;
    // not parts/page.js: the page that comes takes the focus
    return html`<main class="page"><h1 class="unseen">${title}</h1>${state.problem ? html`<${Trouble} problem=${state.problem} again=${bring} />` : html`<${Loading} />`}</main>`;
  };
}
