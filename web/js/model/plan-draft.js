// A plan being made: what is empty at the start, what is sent, and what is still missing.

/** @returns {Api.Plan} */
export const emptyPlan = () => ({ ablate: null, lesions: [], left_appendage: { state: "kept" } });

/** A new attempt begins with the earlier plan. @param {Api.Plan} plan @returns {Api.Plan} */
export const again = plan => structuredClone(plan);

/** A plan in work as the server gives it, whole again: what was never said comes back empty. @param {Partial<Api.Plan>} [saved] @returns {Api.Plan} */
export function fromSaved(saved = {}) {
  const { ablate = null, lesions, left_appendage: appendage, ...rest } = structuredClone(saved);
  return { ...rest, ablate, lesions: lesions || [], left_appendage: appendage?.state ? appendage : { state: "kept" } };
}

/** A plan as one text that is the same for plans that say the same. @param {Partial<Api.Plan>} [plan] */
export const canonical = plan => JSON.stringify(told(fromSaved(plan)));

/** What a value says: without what is empty, keys in order. @param {any} value @returns {any} */
function told(value) {
  if (Array.isArray(value)) return value.map(told);
  if (value === null || typeof value !== "object") return value;
  const pairs = Object.entries(value).map(([key, one]) => /** @type {[string, any]} */ ([key, told(one)]));
  const says = (/** @type {any} */ one) => !(one === undefined || one === null || one === "" || one === false || (Array.isArray(one) && one.length === 0));
  return Object.fromEntries(pairs.filter(([key, one]) => says(one) || key === "ablate").sort(([a], [b]) => (a < b ? -1 : 1)));
}

/** @param {Api.Plan} plan @param {Api.CatalogueLesion} lesion @returns {Api.Lesion} the energy chosen last is the likeliest */
export const newLesion = (plan, lesion) => ({
  lesion: lesion.id, energy: plan.lesions[plan.lesions.length - 1]?.energy || "bipolar-rf", applications: 1, block: "not-tested",
});

/** Whether the plan, as decided so far, has lesions to choose. @param {Api.Plan} plan @param {string[]} asks */
export const choosesLesions = (plan, asks) => asks.includes("lesion-set") && (plan.ablate === true || !asks.includes("ablation"));

/** A drawn lesion for the plan, made as the one before it. @param {Api.Plan} plan @param {{chamber: Api.Chamber, path: Api.Vec[], closed: boolean}} geometry
 * @returns {Api.Lesion} */
export const newDrawn = (plan, { chamber, path, closed }) => ({
  chamber, path, closed, energy: plan.lesions[plan.lesions.length - 1]?.energy || "bipolar-rf", applications: 1, block: "not-tested",
});

/** The plan as sent: nothing that was not asked for. @param {Api.Plan} plan @param {string[]} asks @returns {Api.Plan} */
export function toSend(plan, asks) {
  const sent = { ...plan };
  if (!asks.includes("ablation") && sent.ablate === null) sent.ablate = true;
  if (sent.ablate) delete sent.reason;
  if (!sent.note?.trim()) delete sent.note;
  if (!asks.includes("aftercare")) delete sent.aftercare;
  if (!asks.includes("steps")) delete sent.steps;
  if (!asks.includes("pacing")) delete sent.pacing_wires;
  if (!asks.includes("told") || !toldWhole(sent.told)) delete sent.told;
  return sent;
}

/** What must still be answered before submitting, each with the part of the page it is in. @param {Api.Plan} plan @param {string[]} asks */
export function missing(plan, asks) {
  /** @type {{field: string, says: string}[]} */
  const list = [];
  if (asks.includes("ablation") && plan.ablate === null) list.push({ field: "ablate", says: "Decide whether to ablate." });
  if (plan.ablate === false && !plan.reason) list.push({ field: "reason", says: "Say why you would not ablate." });
  if (plan.ablate !== false && (plan.ablate || !asks.includes("ablation")) && asks.includes("lesion-set") && plan.lesions.length === 0) list.push({ field: "lesions", says: "Choose at least one lesion." });
  if (plan.left_appendage.state !== "kept" && !plan.left_appendage.method) list.push({ field: "left_appendage.method", says: "Say how the appendage is closed." });
  if (asks.includes("aftercare") && !plan.aftercare) list.push({ field: "aftercare", says: "Plan the aftercare." });
  if (asks.includes("steps") && !plan.steps?.length) list.push({ field: "steps", says: "Put the steps of the operation in order." });
  if (asks.includes("pacing") && !plan.pacing_wires) list.push({ field: "pacing_wires", says: "Choose the pacing wires." });
  if (asks.includes("told")) list.push(...missingTold(plan.told));
  return list;
}

/** The two ranges the patient is told, with the words for them. */
export const toldRanges = /** @type {const} */ ([["sinus_rhythm_percent", "the chance of sinus rhythm"], ["pacemaker_percent", "the risk of a pacemaker"]]);

/** @param {Api.Told} [told] */
const toldWhole = told => Boolean(told) && toldRanges.every(([id]) => told?.[id].low !== null && told?.[id].high !== null);

/** What is missing or upside down in the ranges, each at its number: the API refuses the same. @param {Api.Told} [told] */
function missingTold(told) {
  return toldRanges.flatMap(([id, name]) => {
    const { low = null, high = null } = told?.[id] || {}, field = `told.${id}`;
    const empty = [low === null && `${field}.low`, high === null && `${field}.high`].filter(one => one !== false);
    if (empty.length > 0) return [{ field: empty[0], says: `Give ${name} as a range, in percent.` }];
    const beyond = [[`${field}.low`, low], [`${field}.high`, high]].filter(([, value]) => Number(value) < 0 || Number(value) > 100);
    if (beyond.length > 0) return [{ field: String(beyond[0][0]), says: `Give ${name} between 0 and 100 %.` }];
    return Number(low) > Number(high) ? [{ field: `${field}.low`, says: `The lower number of ${name} must not be more than the higher one.` }] : [];
  });
}

/** The lesion-set file the conduction model reads. @param {Api.Plan} plan @param {Api.Patient} [patient] @param {Api.Wavelength} [wavelength] normal where not given */
export function lesionSet(plan, patient, wavelength) {
  return {
    lesions: plan.lesions, left_appendage: plan.left_appendage.state,
    ...(patient?.left_atrium_mm ? { left_atrium_diameter_mm: patient.left_atrium_mm } : {}),
    ...(patient?.right_atrium_mm ? { right_atrium_diameter_mm: patient.right_atrium_mm } : {}),
    ...(wavelength ? { conduction_velocity_m_s: wavelength.conduction_velocity_m_s, refractory_period_ms: wavelength.refractory_period_ms } : {}),
  };
}

/** Months typed as a list: '3, 6, 12'. @param {string} text @returns {number[]} */
export const months = text => [...new Set(text.split(/[^0-9]+/).filter(Boolean).map(Number))].sort((a, b) => a - b);
