// A supervisor's statement on a case, as it begins on the screen.

/**
 * The trainee's account of the steps, to be corrected; of an amended case what the supervisor stated of the version signed last, and the
 * trainee's account only of steps that are new.
 * @param {Api.CaseDetail} detail @returns {Api.Statement}
 */
export function firstStatement({ case: one, sign_offs: signed }) {
  const before = signed.find(signOff => signOff.case_version === one.signed_version)?.statement;
  const seen = new Map((before?.steps || []).map(step => [step.step, step.performed_by]));
  const steps = one.record.steps.map(step => ({ ...step, performed_by: seen.get(step.step) || step.performed_by }));
  if (!before) return { steps, help_given: 0, supervision_next: 0, complications_agreed: true, keep: "", change: "" };
  return { ...before, steps };
}
