// What has to wait until a change of state stands on the page.

/** Acts once what was set just now is drawn: Preact draws in a microtask that the setting has asked for, so one asked for after it comes next.
 * Never a pause: whoever goes on at once by keyboard would be taken back. @param {() => void} act */
export const afterRender = act => queueMicrotask(act);
