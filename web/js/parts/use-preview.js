// What the program computes from a record while it is being entered, and what in the note could identify a patient.
import { useEffect, useState } from "preact/hooks";
import { post } from "../lib/api.js";
import { at } from "../lib/session.js";
import { toSend } from "../model/case-record.js";

/**
 * @param {Api.CaseRecord} record @param {string} id the case it is or becomes, which is not told as one alike
 * @returns {{preview: Api.CasePreview | undefined, problem: unknown}}
 */
export function usePreview(record, id) {
  const [state, setState] = useState(/** @type {{preview?: Api.CasePreview, problem: unknown}} */ ({ problem: null }));
  const wanted = JSON.stringify(toSend(record));
  useEffect(() => {
    const abort = new AbortController();
    const timer = setTimeout(() => {
      /** @type {Promise<Api.CasePreview>} */ (post(at("/case-preview"), { record: JSON.parse(wanted), case: id }, { signal: abort.signal })).then(
        preview => setState({ preview, problem: null }),
        problem => { if (!abort.signal.aborted) setState(before => ({ preview: before.preview, problem })); },
      );
    }, 500);
    return () => { clearTimeout(timer); abort.abort(); };
  }, [wanted, id]);
  return { preview: state.preview, problem: state.problem };
}
