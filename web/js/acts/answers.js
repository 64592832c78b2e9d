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

/** @param {string} step @param {string} name @returns {PlanAct} */
export const addStep = (step, name) => ({ says: `put '${name}' last`, apply: plan => ({ ...plan, steps: [...(plan.steps || []), step] }) });

/** @param {string} step @param {string} name @returns {PlanAct} */
export const removeStep = (step, name) => ({ says: `leave out '${name}'`, apply: plan => ({ ...plan, steps: (plan.steps || []).filter(one => one !== step) }) });

/** Moves a step; at the end of the list it stays. @param {string} step @param {number} to its new index @param {string} name @returns {PlanAct} */
export const moveStep = (step, to, name) => ({
  says: `move '${name}'`,
  apply: plan => {
    const others = (plan.steps || []).filter(one => one !== step), at = Math.min(Math.max(to, 0), others.length);
    return (plan.steps || []).indexOf(step) === at ? plan : { ...plan, steps: others.toSpliced(at, 0, step) };
  },
});

/** @param {string} pacing_wires @returns {PlanAct} */
export const choosePacing = pacing_wires => ({ says: "choose the pacing wires", merge: "pacing", apply: plan => ({ ...plan, pacing_wires }) });

/** What the patient is told; a number that is not given is null. @param {keyof Api.Told} what @param {Partial<Api.Range>} change @returns {PlanAct} */
export const tellPatient = (what, change) => ({
  says: "change what the patient is told",
  merge: `told ${what} ${Object.keys(change).join()}`,
  apply: plan => ({ ...plan, told: { ...emptyTold, ...plan.told, [what]: { ...emptyTold[what], ...plan.told?.[what], ...change } } }),
});

/** @type {Api.Told} */
const emptyTold = { sinus_rhythm_percent: { low: null, high: null }, pacemaker_percent: { low: null, high: null } };

/** @param {Api.Plan} other @returns {PlanAct} */
export const takePlan = other => ({ says: "take the plan saved elsewhere", apply: () => other });

/** @param {string} note @returns {PlanAct} */
export const writeNote = note => ({ says: "write the note", merge: "note", apply: plan => ({ ...plan, note }) });

/** @type {Api.Aftercare} */
export const emptyAftercare = { anticoagulation_months: 0, anticoagulation_then: "by-stroke-risk", monitoring_months: [], monitoring_hours: 0 };
