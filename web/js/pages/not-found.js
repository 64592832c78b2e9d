// An address that leads nowhere, and a page that failed.
import { Component } from "preact";
import { html } from "../lib/html.js";
import { Page } from "../parts/page.js";
import { Trouble } from "../parts/waiting.js";

export const NotFoundPage = () => html`<${Page} title="Nothing at this address" kind="plain">
  <p>The address may be mistyped, or what was here has another one.</p>
  <p><a href="/">Go to your first page</a></p>
<//>`;

/** Shows a page that failed as one, with a way on, instead of a blank window. @extends {Component<{path: string}, {failed: unknown, path: string}>} */
export class Guard extends Component {
  /** @param {{path: string}} props */
  constructor(props) {
    super(props);
    this.state = { failed: null, path: props.path };
  }

  /** @param {unknown} failed */
  componentDidCatch(failed) {
    console.error(failed);
    this.setState({ failed, path: this.props.path });
  }

  render() {
    if (!this.state.failed || this.state.path !== this.props.path) return this.props.children;
    return html`<${Page} title="This page failed" kind="plain"><${Trouble} problem=${this.state.failed}
      again=${() => location.reload()} /><p><a href="/">Go to your first page</a></p><//>`;
  }
}
