// What the privacy screen stopped in a form, from one refusal to the next: a later one can be about the reasons only.
import { useRef } from "preact/hooks";
import { reasonsAmiss, stoppedIn } from "../model/kept-words.js";

/** @param {unknown} error why the form was refused last */
export function useStopped(error) {
  const seen = useRef(/** @type {import("../model/kept-words.js").Stopped[]} */ ([]));
  const known = (/** @type {import("../model/kept-words.js").Stopped} */ one) => seen.current.some(other => other.field === one.field && other.kind === one.kind && other.excerpt === one.excerpt);
  seen.current = [...seen.current, ...stoppedIn(error).filter(one => !known(one))];
  return { stopped: seen.current, amiss: reasonsAmiss(error) };
}
