// A case being entered.

/** @returns {Api.History} */
const noHistory = () => ({ continuous_months: 0, longest_episode_days: 0, ends: "by-itself", rhythm_control_pursued: true });

/** @param {Partial<Api.CaseRecord>} [known] @returns {Api.CaseRecord} */
export const emptyRecord = (known = {}) => ({
  supervisor: "", site: "", operated_on: "", af: noHistory(),
  left_atrium_band: "", operation: "", approach: "sternotomy", urgency: "elective", on_bypass: true, left_atrium_opened: true,
  lesions: [], left_appendage: { state: "kept" }, steps: [], events: [], ...known,
});

/** The steps the record must have: one a lesion, drawn ones numbered, and the appendage where something was done with it.
 * @param {Api.CaseRecord} record @returns {string[]} */
export function stepIds(record) {
  let drawn = 0;
  const ids = record.lesions.map(lesion => lesion.lesion || `drawn-${++drawn}`);
  if (record.left_appendage.state !== "kept") ids.push("left-appendage");
  return ids;
}

/** The record with exactly the steps it must have, in order; who performed a step stays where it was said, and is nobody else until it is.
 * @param {Api.CaseRecord} record @param {string[]} [ids] @returns {Api.CaseRecord} */
export function withSteps(record, ids = stepIds(record)) {
  const said = new Map(record.steps.map(step => [step.step, step.performed_by]));
  return { ...record, steps: ids.map(step => ({ step, performed_by: said.get(step) || "" })) };
}

/** The record with every step nobody was named for given to the trainee. @param {Api.CaseRecord} record @returns {Api.CaseRecord} */
export const restByMe = record => ({ ...record, steps: record.steps.map(step => ({ ...step, performed_by: step.performed_by || "trainee" })) });

/** An AF history after a change: what goes on without a break does not end, so that nobody is asked for it.
 * @param {Api.History} before @param {Partial<Api.History>} change @returns {Api.History} */
export function historyAfter(before, change) {
  const now = { ...before, ...change };
  if (now.continuous_months > 0) return { ...now, ends: "does-not-end", longest_episode_days: change.continuous_months ? 0 : now.longest_episode_days };
  return before.continuous_months > 0 ? { ...now, ends: "by-itself" } : now;
}

/** What the next case most likely shares with this one, kept on the device. @param {Api.CaseRecord} record @returns {Partial<Api.CaseRecord>} */
export function usual({ site, supervisor, operation, approach, urgency, on_bypass, left_atrium_opened, left_appendage }) {
  const { method } = left_appendage;
  return { site, supervisor, operation, approach, urgency, on_bypass, left_atrium_opened, left_appendage: { state: "kept", ...(method ? { method } : {}) } };
}

/** A case begun from a pattern: how one operates comes from the pattern, what belongs to this patient and this day stays. A site or a
 * supervisor that the programme does not have any more is not taken.
 * @param {Api.CaseRecord} record @param {Api.CaseRecord} pattern @param {string[]} sites @param {string[]} faculty @returns {Api.CaseRecord} */
export function fromPattern(record, pattern, sites, faculty) {
  const { site, supervisor, operation, approach, urgency, on_bypass, left_atrium_opened, lesions, left_appendage, steps } = pattern;
  return withSteps({
    ...record, site: sites.includes(site) ? site : record.site, supervisor: faculty.includes(supervisor) ? supervisor : record.supervisor,
    operation, approach, urgency, on_bypass, left_atrium_opened, lesions, left_appendage, steps,
  });
}

/** The steps on which two accounts differ. @param {Api.Step[]} mine @param {Api.Step[]} theirs @returns {string[]} */
export function differing(mine, theirs) {
  const said = new Map(theirs.map(step => [step.step, step.performed_by]));
  return mine.filter(step => said.has(step.step) && said.get(step.step) !== step.performed_by).map(step => step.step);
}

/** A stored record ready to go on with. @param {Api.CaseRecord} record @returns {Api.CaseRecord} */
export const toEnter = record => withSteps(record.af.ends ? record : { ...record, af: noHistory() });

/** The record as sent: a step nobody was named for and an AF history without any duration are left out. @param {Api.CaseRecord} record @returns {Api.CaseRecord} */
export function toSend(record) {
  const sent = withSteps(record);
  if (!sent.af.continuous_months && !sent.af.longest_episode_days) sent.af = { continuous_months: 0, longest_episode_days: 0, ends: "", rhythm_control_pursued: false };
  sent.steps = sent.steps.filter(step => step.performed_by);
  if (!sent.note?.trim()) delete sent.note;
  if (sent.left_appendage.state === "kept") sent.left_appendage = { state: "kept" };
  return sent;
}

/** What differs between two records, as the names of their fields: what a person must choose between in a conflict.
 * @param {Api.CaseRecord} mine @param {Api.CaseRecord} theirs @returns {(keyof Api.CaseRecord)[]} */
export function differences(mine, theirs) {
  const fields = /** @type {(keyof Api.CaseRecord)[]} */ (Object.keys({ ...mine, ...theirs }));
  return fields.filter(field => JSON.stringify(mine[field] ?? "") !== JSON.stringify(theirs[field] ?? ""));
}
