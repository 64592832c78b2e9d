package service

import (
	"context"

	"isthmus/assessment"
	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/policies"
)

// TraineeGrowth is what a trainee's graded plans show over time.
type TraineeGrowth struct {
	Trainee PersonRef `json:"trainee"`
	competency.Growth
	Caution string `json:"caution"`
}

// Growth counts a trainee's attempts by AF pattern and by omission: for the trainee, for who supervises them, and for the programme. While
// the actor has a test open, plans for its scenario are left out, as they are in every list. The error is ErrNotFound for who is no
// trainee of the programme, or ErrForbidden.
func (s *Service) Growth(ctx context.Context, actor Actor, programme competency.ProgrammeID, trainee competency.PersonID) (TraineeGrowth, error) {
	answer := TraineeGrowth{Caution: atrium.Caution}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.mayTrainee(policies.Growth, policies.Read, trainee); err != nil {
			return err
		}
		if _, err := h.traineeSince(trainee); err != nil {
			return err
		}
		attempts, err := h.attemptsForGrowth(trainee)
		if err != nil {
			return err
		}
		answer.Growth = competency.GrowthOf(attempts, omissionChoices())
		answer.Trainee.ID = trainee
		answer.Trainee.Name, err = h.name(trainee)
		return err
	})
	return answer, err
}

// attemptsForGrowth are a trainee's plans with the omissions of each, judged against the version of the scenario that was answered.
func (h *scene) attemptsForGrowth(trainee competency.PersonID) ([]competency.Attempt, error) {
	without, err := h.underTest()
	if err != nil {
		return nil, err
	}
	rows, err := h.tx.PlansOf(h.programme.ID, trainee, without)
	if err != nil {
		return nil, err
	}
	answered := map[edition]assessment.Scenario{}
	attempts := make([]competency.Attempt, len(rows))
	for i, row := range rows {
		plan, err := h.planOfRow(row)
		if err != nil {
			return nil, err
		}
		version := edition{row.Scenario, row.ScenarioVersion}
		if _, known := answered[version]; !known {
			if answered[version], err = h.scenarioVersion(row.Scenario, row.ScenarioVersion); err != nil {
				return nil, err
			}
		}
		attempts[i] = attemptOf(plan, answered[version])
	}
	return attempts, nil
}

// edition names one version of a scenario.
type edition struct {
	id      assessment.ScenarioID
	version int
}

// attemptOf is a graded plan as competency knows it.
func attemptOf(plan Plan, scenario assessment.Scenario) competency.Attempt {
	attempt := competency.Attempt{
		Plan: plan.ID, Scenario: string(plan.Scenario), Title: plan.ScenarioTitle, Number: plan.Attempt, Test: plan.Mode == Test, SubmittedAt: plan.SubmittedAt,
		Pattern: af.Pattern(plan.Grade.Pattern), Score: plan.Grade.Score, Letter: string(plan.Grade.Letter), Unsafe: plan.Grade.Unsafe,
	}
	for _, o := range assessment.Omissions(scenario, plan.Grade, plan.Plan) {
		if o.Asked {
			attempt.Omissions = append(attempt.Omissions, competency.OmissionSeen{ID: string(o.ID), Made: o.Made})
		}
	}
	return attempt
}

// omissionChoices are the omissions by id and name.
func omissionChoices() []competency.Choice {
	names := assessment.OmissionNames()
	choices := make([]competency.Choice, len(names))
	for i, o := range names {
		choices[i] = competency.Choice{ID: string(o.ID), Name: o.Name}
	}
	return choices
}
