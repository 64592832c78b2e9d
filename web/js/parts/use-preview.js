// What the program computes from a record while it is being entered, and what in the note could identify a patient.
import { useEffect, useState } from "preact/hooks";
import { post } from "../lib/api.js";
import { at } from "../lib/session.js";
import { toSend } from "../model/case-record.js";

/**
 * @param {Api.CaseRecord} record
 * @returns {{preview: Api.CasePreview | undefined, problem: unknown}}
 */
export function usePreview(record) {
  const [state, setState] = useState(/** @type {{preview?: Api.CasePreview, problem: unknown}} */ ({ problem: null }));
  const wanted = JSON.stringify(toSend(record));
  useEffect(() => {
    const abort = new AbortController();
    const timer = setTimeout(() => {
      /** @type {Promise<Api.CasePreview>} */ (post(at("/case-preview"), { record: JSON.parse(wanted) }, { signal: abort.signal })).then(
        preview => setState({ preview, problem: null }),
        problem => { if (!abort.signal.aborted) setState(before => ({ preview: before.preview, problem })); },
      );
    }, 500);
    return () => { clearTimeout(timer); abort.abort(); };
  }, [wanted]);
  return { preview: state.preview, problem: state.problem };
}
