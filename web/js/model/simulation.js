// What a simulation found, in words; and an order as a form holds it: shares in per cent, one line a group and a kind.

const NBSP = "\u00a0";

/** A share in per cent, with a decimal where it is small or near all. @param {number} share */
export const fine = share => `${Number((share * 100).toFixed(share < 0.1 || share > 0.9 ? 1 : 0))}`;

/** '12 % (10 to 14) of 3,333'. @param {Api.SimulatedShare} share */
export function shareWords({ count, of, estimate, low, high }) {
  if (estimate === undefined || low === undefined || high === undefined) return "nobody to count";
  return `${fine(estimate)}${NBSP}% (${fine(low)} to ${fine(high)}) of ${of.toLocaleString("en")}${count === 0 ? ", none seen" : ""}`;
}

/** '45 (30 to 81)'; what a quantile has not reached is 'not within'. @param {Api.Quantiles} quantiles @param {number} [digits] */
export function middleWords({ tenth, median, ninety }, digits = 0) {
  const one = (/** @type {number | undefined} */ value) => (value === undefined ? "not reached" : value.toFixed(digits));
  if (tenth === undefined) return "not reached";
  return `${one(median)} (${one(tenth)} to ${one(ninety)})`;
}

/** The sentences that stand first. @param {Api.SimulatedOutcome} outcome @param {Api.SimulationPlan} plan */
export function headlines(outcome, plan) {
  const adequate = `${fine(plan.adequate)}${NBSP}%`;
  const ready = outcome.false_ready, missed = outcome.false_not_ready;
  return [
    ready.of === 0 ? "It declares nobody ready." : `Of those it declares ready, ${shareWords(ready)} then failed truly in more than ${adequate}.`,
    missed.of === 0 ? `Nobody is adequate by operation ${plan.cases}, so nobody is missed.` : `Of those who are adequate by operation ${plan.cases}, it has not declared ${shareWords(missed)} by then.`,
  ];
}

/** The requirement that most often comes last. @param {Api.SimulatedOutcome} outcome */
export const binding = outcome => [...outcome.binding].sort((a, b) => b.last.count + b.unmet.count - a.last.count - a.unmet.count);

const cent = (/** @type {number} */ share) => Number((share * 100).toFixed(4));
const part = (/** @type {number} */ percent) => Number((percent / 100).toFixed(6));

/** The shares of a mix that a form writes in per cent. */
const inCent = /** @type {const} */ (["primary", "incomplete", "unsigned", "late"]);

/** @param {Api.Mix} mix @returns {Api.Mix} with shares and failure rates in per cent */
export function mixToForm(mix) {
  const form = structuredClone(mix);
  for (const name of inCent) form[name] = cent(mix[name]);
  for (const { curve } of form.groups) { curve.start = cent(curve.start); curve.end = cent(curve.end); }
  return form;
}

/** @param {Api.Mix} form @returns {Api.Mix} */
export function formToMix(form) {
  const mix = structuredClone(form);
  for (const name of inCent) mix[name] = part(form[name]);
  for (const { curve } of mix.groups) { curve.start = part(curve.start); curve.end = part(curve.end); }
  return mix;
}
