package service

import (
	"context"
	"errors"
	"fmt"

	"isthmus/assessment"
	"isthmus/assessment/atrium"
	"isthmus/competency"
)

// Comparison is a graded plan beside an expert's plan for the version of the scenario that was answered. It is the only answer an expert's
// plan is in.
type Comparison struct {
	Plan          competency.PlanID       `json:"plan"`
	Expert        ExpertAnswer            `json:"expert"`
	Experts       int                     `json:"experts"` // how many experts' plans the scenario has
	Yours         Outcome                 `json:"yours"`
	Differences   []assessment.Difference `json:"differences"`
	LeftAtriumMM  float64                 `json:"left_atrium_mm"` // of the patient answered for, for drawing
	RightAtriumMM float64                 `json:"right_atrium_mm,omitempty"`
	Caution       string                  `json:"caution"`
}

// ExpertAnswer is an expert's plan with its reasons and its grade.
type ExpertAnswer struct {
	Number int              `json:"number"` // 0, 1, ... among the scenario's
	Title  string           `json:"title"`
	Why    string           `json:"why"`
	Plan   assessment.Plan  `json:"plan"`
	Grade  assessment.Grade `json:"grade"`
}

// Outcome is a grade in short.
type Outcome struct {
	Letter assessment.Letter `json:"letter"`
	Score  float64           `json:"score"`
	Unsafe bool              `json:"unsafe"`
}

// CompareWithExpert puts a graded plan beside the scenario's expert plan of that number, from 0. Whoever may read the plan may read it. The
// error is ErrNotFound, ErrForbidden, ErrTestOpen while the actor has a test open, or strict.Faults when there is no such expert.
func (s *Service) CompareWithExpert(ctx context.Context, actor Actor, programme competency.ProgrammeID, id competency.PlanID, number int) (Comparison, error) {
	var plan Plan
	var scenario assessment.Scenario
	var policy assessment.Policy
	err := s.read(ctx, actor, programme, func(h *scene) (err error) {
		if plan, err = h.planByID(id); err != nil {
			return err
		}
		if err := h.noOpenTest(); err != nil {
			return err
		}
		if scenario, err = h.scenarioVersion(plan.Scenario, plan.ScenarioVersion); err != nil {
			return err
		}
		policy, err = h.policyOfGrade(plan.Grade)
		return err
	})
	if err != nil {
		return Comparison{}, err
	}
	if number < 0 || number >= len(scenario.Expert) {
		return Comparison{}, fault("expert", "the scenario has %d expert plans, counted from 0", len(scenario.Expert))
	}
	expert := scenario.Expert[number]
	grade, err := assessment.GradePlan(s.deps.Model, scenario, expert.Plan, policy)
	if err != nil {
		return Comparison{}, fmt.Errorf("expert plan %d of scenario %s, version %d: %w", number, scenario.ID, scenario.Version, err)
	}
	return Comparison{
		Plan: plan.ID, Expert: ExpertAnswer{Number: number, Title: expert.Title, Why: expert.Why, Plan: expert.Plan, Grade: grade}, Experts: len(scenario.Expert),
		Yours:        Outcome{plan.Grade.Letter, plan.Grade.Score, plan.Grade.Unsafe},
		Differences:  assessment.Compare(scenario, plan.Plan, expert.Plan, plan.Grade.Result, grade.Result),
		LeftAtriumMM: scenario.Patient.LeftAtriumMM, RightAtriumMM: scenario.Patient.RightAtriumMM, Caution: atrium.Caution,
	}, nil
}

// policyOfGrade is the scope policy a grade names: the program's, or a version of the programme's own. One that is kept nowhere, as the
// program's from before an upgrade, is replaced by the policy in force; the new grade names which it was.
func (h *scene) policyOfGrade(grade assessment.Grade) (assessment.Policy, error) {
	if shipped := h.service.deps.Policy; grade.Policy == shipped.ID && grade.PolicyVersion == shipped.Version {
		return shipped, nil
	}
	own, err := h.policyOf(grade.PolicyVersion)
	switch {
	case err == nil && own.ID == grade.Policy:
		return own, nil
	case err != nil && !errors.Is(err, ErrNotFound):
		return assessment.Policy{}, err
	}
	return h.policy()
}
