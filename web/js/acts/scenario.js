// Acts on a scenario being written. A path names a place in it: ["patient", "af", "ends"].

/** @typedef {import("./history.js").Act<Api.ScenarioText>} ScenarioAct */
/** @typedef {"expert" | "flawed"} Kind */

/** @template T @param {T} document @param {(string | number)[]} path @param {unknown} value @returns {T} */
export function withValue(document, [first, ...rest], value) {
  const before = /** @type {any} */ (document ?? (typeof first === "number" ? [] : {}));
  const next = rest.length > 0 ? withValue(before[first], rest, value) : value;
  if (next === before[first]) return document;
  if (Array.isArray(before)) return /** @type {any} */ (before.map((item, i) => (i === first ? next : item)));
  return { ...before, [first]: next };
}

/** Writing in one field undoes as one. @param {(string | number)[]} path @param {unknown} value @param {string} name @returns {ScenarioAct} */
export const writeField = (path, value, name) => ({ says: `change ${name}`, merge: `write ${path.join(".")}`, apply: scenario => withValue(scenario, path, value) });

/** @param {"expert" | "flawed" | "alternatives" | "notes"} list @param {any} item @param {string} name @returns {ScenarioAct} */
export const addItem = (list, item, name) => ({ says: `add ${name}`, apply: scenario => ({ ...scenario, [list]: [...scenario[list], item] }) });

/** @param {"expert" | "flawed" | "alternatives" | "notes"} list @param {number} index @param {string} name @returns {ScenarioAct} */
export const removeItem = (list, index, name) => ({ says: `remove ${name}`, apply: scenario => ({ ...scenario, [list]: scenario[list].filter((_, i) => i !== index) }) });

/** @param {string} ask @param {string[]} order the closed list, whose order is kept @param {string} name @returns {ScenarioAct} */
export const toggleAsk = (ask, order, name) => ({
  says: `change ${name}`,
  apply: scenario => ({ ...scenario, asks: order.filter(one => (one === ask) !== scenario.asks.includes(one)) }),
});

/** An act on the plan of an answer, as the planner makes it. @param {Kind} kind @param {number} index @param {import("./history.js").Act<Api.Plan>} act @returns {ScenarioAct} */
export const inPlan = (kind, index, act) => ({
  says: act.says, merge: act.merge && `${kind} ${index} ${act.merge}`,
  apply: scenario => {
    const answer = scenario[kind][index];
    const plan = answer && act.apply(answer.plan);
    return !answer || plan === answer.plan ? scenario : withValue(scenario, [kind, index, "plan"], plan);
  },
});

/** Everything at once, as after a conflict or an import. @param {Api.ScenarioText} next @param {string} says @returns {ScenarioAct} */
export const replaceScenario = (next, says) => ({ says, apply: () => next });
