// Acts on the other answers of a plan.

/** @typedef {import("./history.js").Act<Api.Plan>} PlanAct */

/** Deciding against ablation keeps the lesions chosen so far out of the plan; undo brings them back.
 * @param {boolean} ablate @returns {PlanAct} */
export const decideAblation = ablate => ({
  says: ablate ? "plan an ablation" : "plan no ablation",
  apply: plan => (plan.ablate === ablate ? plan : { ...plan, ablate, reason: ablate ? undefined : plan.reason, lesions: ablate ? plan.lesions : [] }),
});

/** @param {string} reason @returns {PlanAct} */
export const giveReason = reason => ({ says: "give the reason", merge: "reason", apply: plan => ({ ...plan, reason }) });

/** A kept appendage has no method. @param {Partial<Api.Appendage>} change @returns {PlanAct} */
export const treatAppendage = change => ({
  says: "change the appendage",
  merge: `appendage ${Object.keys(change).join()}`,
  apply: plan => {
    const next = { ...plan.left_appendage, ...change };
    return { ...plan, left_appendage: next.state === "kept" ? { state: "kept" } : next };
  },
});

/** @param {Partial<Api.Aftercare>} change @returns {PlanAct} */
export const planAftercare = change => ({
  says: "change the aftercare",
  merge: `aftercare ${Object.keys(change).join()}`,
  apply: plan => ({ ...plan, aftercare: { ...emptyAftercare, ...plan.aftercare, ...change } }),
});

/** @param {string} note @returns {PlanAct} */
export const writeNote = note => ({ says: "write the note", merge: "note", apply: plan => ({ ...plan, note }) });

/** @type {Api.Aftercare} */
export const emptyAftercare = { anticoagulation_months: 0, anticoagulation_then: "by-stroke-risk", monitoring_months: [], monitoring_hours: 0 };
