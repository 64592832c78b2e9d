// The one place where the template tag is bound to the renderer.
import { h } from "preact";
import htm from "htm";

export const html = htm.bind(h);
