// Acts on a scope policy being written.
import { withValue } from "./scenario.js";

/** @typedef {import("./history.js").Act<Api.ScopePolicy>} PolicyAct */

/** Writing in one field undoes as one. @param {(string | number)[]} path @param {unknown} value @param {string} name @returns {PolicyAct} */
export const writePolicy = (path, value, name) => ({ says: `change ${name}`, merge: `write ${path.join(".")}`, apply: policy => withValue(policy, path, value) });

/** The list at a path with another one in its place. @param {(string | number)[]} path @param {(list: any[]) => any[]} change @param {string} says @returns {PolicyAct} */
export const changeList = (path, change, says) => ({
  says, apply: policy => withValue(policy, path, change(path.reduce((at, name) => at?.[name], /** @type {any} */ (policy)) || [])),
});

/** @template T @param {T[]} list @param {number} index @param {number} by @returns {T[]} */
export function moved(list, index, by) {
  const to = index + by;
  if (to < 0 || to >= list.length) return list;
  const next = [...list];
  [next[index], next[to]] = [next[to], next[index]];
  return next;
}

/** The path without a part that is left out. @param {(string | number)[]} path @param {string} name @returns {PolicyAct} */
export const leaveOut = (path, name) => ({
  says: `leave out ${name}`,
  apply: policy => {
    const holder = path.slice(0, -1).reduce((at, part) => at?.[part], /** @type {any} */ (policy));
    const { [/** @type {string} */ (path[path.length - 1])]: _, ...rest } = holder || {};
    return withValue(policy, path.slice(0, -1), rest);
  },
});
