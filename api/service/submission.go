package service

import (
	"context"
	"errors"

	"isthmus/assessment"
	"isthmus/competency"
	"isthmus/policies"
)

// PlanSubmission is a trainee's answer to a scenario. The id (a uuid v7 of the client's) or the key, when given, makes a resend harmless.
type PlanSubmission struct {
	ID             competency.PlanID     `json:"id,omitempty"`
	Scenario       assessment.ScenarioID `json:"scenario"`
	Version        int                   `json:"scenario_version,omitempty"` // the one the trainee had in view; 0 for what is live
	Plan           assessment.Plan       `json:"plan"`
	Sitting        SittingID             `json:"sitting,omitempty"` // of the test that the plan answers; empty for practice
	IdempotencyKey string                `json:"-"`
	Overrides      []competency.Override `json:"overrides,omitempty"` // of what the privacy screen finds in plan.note
}

// SubmitPlan grades a plan and keeps both, for good; with a sitting it closes the test. The error is strict.Faults about id, scenario or
// plan (its note is screened for identifiers of patients), ErrDuplicate when the id names something else, ErrTestOpen for practice while a test is open, assessment.ErrSittingOver for a
// test that is not, ErrKeyReused or ErrForbidden.
func (s *Service) SubmitPlan(ctx context.Context, actor Actor, programme competency.ProgrammeID, in PlanSubmission) (Plan, error) {
	o, err := onceNamed(string(in.ID), in.IdempotencyKey, "plan.submit", programme, in)
	if err != nil {
		return Plan{}, err
	}
	var by basis
	var refused error // told only once it is clear that this is no resend
	check := func(h *scene) error {
		if err := h.may(policies.Plan, policies.Create, policies.Own); err != nil {
			return err
		}
		if by, refused = h.basisOf(in); refused == nil {
			refused = h.keptInPlan(&by, in)
		}
		return nil
	}
	var plan Plan
	load := func(h *scene, id string) (err error) {
		plan, err = h.planByID(competency.PlanID(id))
		return err
	}
	err = s.create(ctx, actor, programme, o, check, load, func() (err error) {
		if refused != nil {
			return refused
		}
		plan, err = s.gradeAndSave(ctx, actor, programme, by, in, o)
		return err
	})
	return plan, err
}

// basisOf is what a submission will be graded by: in practice what is live and in force today.
func (h *scene) basisOf(in PlanSubmission) (by basis, err error) {
	if in.Sitting != "" {
		sitting, err := h.ownSitting(in.Sitting)
		switch {
		case errors.Is(err, ErrNotFound):
			return by, fault("sitting", "there is no such test to answer")
		case err != nil:
			return by, err
		case sitting.Scenario != in.Scenario:
			return by, fault("scenario", "is not the one of the test: that is %s", sitting.Scenario)
		case !sitting.Running(h.now):
			return by, assessment.ErrSittingOver
		}
		return h.basisOfTest(sitting)
	}
	if err := h.noOpenTest(); err != nil {
		return by, err
	}
	by.scenario, err = h.inView(in.Scenario, in.Version)
	if errors.Is(err, ErrNotFound) {
		return by, fault("scenario", "there is no such scenario to plan for")
	}
	if err != nil {
		return by, err
	}
	by.policy, err = h.policy()
	return by, err
}

// keptInPlan finds what may stay in the note of a plan: what the request overrides, and what was kept in the test already.
func (h *scene) keptInPlan(by *basis, in PlanSubmission) error {
	asked, err := h.kept(planOf(""), in.Overrides)
	if err != nil || in.Sitting == "" {
		by.kept = asked
		return err
	}
	before, err := h.kept(textPlace{object: "sitting", id: string(in.Sitting)}, nil, freeText{"note", by.sitting.Plan.Note})
	by.kept = append(asked, before...)
	return err
}

// planOf is a plan as a place of free text.
func planOf(id competency.PlanID) textPlace {
	return textPlace{object: "plan", id: string(id), within: "plan"}
}

// gradeAndSave does the work of SubmitPlan outside, the saving inside one transaction.
func (s *Service) gradeAndSave(ctx context.Context, actor Actor, programme competency.ProgrammeID, by basis, in PlanSubmission, o once) (Plan, error) {
	if err := under("plan", screenKept("note", in.Plan.Note, maxNote, by.kept)); err != nil {
		return Plan{}, err
	}
	grade, err := assessment.GradePlan(s.deps.Model, by.scenario, in.Plan, by.policy)
	if err != nil {
		return Plan{}, under("plan", err)
	}
	var plan Plan
	err = s.write(ctx, actor, programme, "plan.submit", func(h *scene) (err error) {
		if err := h.may(policies.Plan, policies.Create, policies.Own); err != nil {
			return err
		}
		if in.Sitting != "" {
			plan, err = h.closeWith(in, by, grade)
		} else {
			plan, err = h.practise(in, by, grade)
		}
		if err != nil {
			return err
		}
		plan.ID = competency.PlanID(o.newID(s))
		if err := s.savePlan(h, &plan, o); err != nil {
			return err
		}
		if err := h.saveKept(planOf(plan.ID), by.kept, freeText{"note", plan.Plan.Note}); err != nil {
			return err
		}
		plan, err = h.planByID(plan.ID)
		return err
	})
	return plan, err
}

// practise is the plan of a submission for practice, with the next attempt number. Its id is still to be given.
func (h *scene) practise(in PlanSubmission, by basis, grade assessment.Grade) (Plan, error) {
	if err := h.noOpenTest(); err != nil {
		return Plan{}, err
	}
	attempt, err := h.tx.NextAttempt(h.programme.ID, h.actor.Person, in.Scenario)
	return Plan{
		Programme: h.programme.ID, Trainee: h.actor.Person, Scenario: by.scenario.ID, ScenarioTitle: by.scenario.Title,
		ScenarioVersion: by.scenario.Version, Attempt: attempt, Mode: Practice, SubmittedAt: h.now, Plan: in.Plan, Grade: grade,
	}, err
}

// closeWith submits a test with its plan, and gives the plan. The error is assessment.ErrSittingOver when the test is closed by now.
func (h *scene) closeWith(in PlanSubmission, by basis, grade assessment.Grade) (Plan, error) {
	before, err := h.ownSitting(in.Sitting)
	if err != nil {
		return Plan{}, err
	}
	after := before
	if after.Sitting, err = before.Submit(in.Plan, h.now); err != nil {
		return Plan{}, err
	}
	return planOfTest(after, by, grade), h.saveSitting(before, after)
}
