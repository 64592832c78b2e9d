package service

import (
	"context"
	"errors"
	"fmt"

	"isthmus/api/store"
	"isthmus/assessment"
	"isthmus/assessment/strict"
	"isthmus/competency"
)

// errOverdue says that the programme has tests whose time is up and that nobody has closed.
var errOverdue = errors.New("tests are past their end")

// settled does an act in the way do says. No clock runs in the background: whoever comes by next closes the programme's tests whose time
// is up, before anything else, so that nobody ever sees one that should be graded and is not. What cannot be closed must not stop the
// rest: it stays open, and reading it says why.
func (s *Service) settled(ctx context.Context, actor Actor, programme competency.ProgrammeID, act func(*scene) error, do func(func(*scene) error) error) error {
	var overdue []store.SittingID
	var quizzes []competency.QuizID
	err := do(func(h *scene) (err error) {
		if overdue, err = h.tx.SittingsPast(programme, h.now.Add(-assessment.SittingGrace)); err != nil {
			return err
		}
		if quizzes, err = h.tx.QuizzesPast(programme, h.now.Add(-assessment.SittingGrace)); err != nil {
			return err
		}
		if len(overdue)+len(quizzes) > 0 {
			return errOverdue
		}
		return act(h)
	})
	if !errors.Is(err, errOverdue) {
		return err
	}
	var unsettled error
	for _, id := range overdue {
		if err := s.closeSitting(ctx, actor, programme, id); err != nil {
			unsettled = errors.Join(unsettled, fmt.Errorf("test %s is past its end: %w", id, err))
		}
	}
	for _, id := range quizzes {
		if err := s.closeQuiz(ctx, actor, programme, id); err != nil {
			unsettled = errors.Join(unsettled, fmt.Errorf("quiz %s is past its end: %w", id, err))
		}
	}
	return do(func(h *scene) error {
		h.unsettled = unsettled
		return act(h)
	})
}

// closeSitting ends a test whose time is up, as of when it was: with a grade of what had been saved by then, or with the faults for which
// that has none. Nothing in it depends on who looks and when.
func (s *Service) closeSitting(ctx context.Context, actor Actor, programme competency.ProgrammeID, id store.SittingID) error {
	var graded int // the revision
	var saved assessment.Plan
	var by basis
	err := s.readAsIs(ctx, actor, programme, func(h *scene) error {
		sitting, err := h.tx.SittingByID(programme, id)
		if err != nil {
			return err
		}
		graded, saved = sitting.Revision, sitting.Plan
		by, err = h.basisOfTest(sitting)
		return err
	})
	if err != nil {
		return err
	}
	var faults strict.Faults
	grade, err := assessment.GradePlan(s.deps.Model, by.scenario, saved, by.policy)
	if err != nil && !errors.As(err, &faults) {
		return err
	}
	return s.writeAsIs(ctx, actor, programme, "sitting.time-up", func(h *scene) error {
		before, err := h.tx.SittingByID(programme, id)
		if err != nil {
			return err
		}
		after := before
		after.Sitting, err = before.End(faults.List, h.now)
		switch {
		case errors.Is(err, assessment.ErrSittingOver): // somebody else looked at the same moment
			return nil
		case err != nil:
			return err
		case before.Revision != graded:
			return ErrStale
		}
		if len(faults.List) > 0 {
			return h.saveSitting(before, after)
		}
		plan := planOfTest(after, by, grade)
		plan.ID = competency.PlanID(s.deps.NewID())
		return errors.Join(h.saveSitting(before, after), s.savePlan(h, &plan, once{}))
	})
}

// basis is what a plan is graded by, and the test it answers, if any.
type basis struct {
	scenario assessment.Scenario
	policy   assessment.Policy
	sitting  *store.Sitting        // nil for practice
	kept     []competency.Override // what may stay in the note
}

// basisOfTest is what a test is graded by: the version of the scenario it was started with and the scope policy of then. Nobody is
// graded by rules made later.
func (h *scene) basisOfTest(sitting store.Sitting) (by basis, err error) {
	by.sitting = &sitting
	if by.scenario, err = h.scenarioVersion(sitting.Scenario, sitting.ScenarioVersion); err != nil {
		return by, err
	}
	by.policy, err = h.policyOf(sitting.ScopePolicy)
	return by, err
}

// planOfTest is the graded plan of a closed test. Its id is still to be given.
func planOfTest(sitting store.Sitting, by basis, grade assessment.Grade) Plan {
	return Plan{
		Programme: sitting.Programme, Trainee: sitting.Trainee, Scenario: sitting.Scenario, ScenarioTitle: by.scenario.Title,
		ScenarioVersion: sitting.ScenarioVersion, Attempt: sitting.Attempt, Mode: Test, Sitting: sitting.ID, SubmittedAt: sitting.ClosedAt,
		PractisedBefore: sitting.PractisedBefore, Plan: sitting.Plan, Grade: grade,
	}
}

// saveSitting keeps a changed sitting with its audit entry.
func (h *scene) saveSitting(before, after store.Sitting) error {
	if err := h.tx.SaveSitting(after, before.Revision); err != nil {
		return err
	}
	return h.tx.Audit("sitting", string(after.ID), before, after)
}
