package service

import (
	"context"
	"encoding/json"
	"fmt"
	"time"

	"isthmus/api/store"
	"isthmus/assessment"
	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/policies"
)

// Mode says under which conditions a plan was made.
type Mode string

// The modes: practice shows what the lesions do while they are drawn and can be repeated; a test hides it until the end and counts once.
const (
	Practice Mode = "practice"
	Test     Mode = "test"
)

// Plan is a graded plan. It is never changed.
type Plan struct {
	ID              competency.PlanID      `json:"id"`
	Programme       competency.ProgrammeID `json:"programme"`
	Trainee         competency.PersonID    `json:"trainee"`
	TraineeName     string                 `json:"trainee_name"`
	Scenario        assessment.ScenarioID  `json:"scenario"`
	ScenarioTitle   string                 `json:"scenario_title"`
	ScenarioVersion int                    `json:"scenario_version"`
	Attempt         int                    `json:"attempt"`
	Mode            Mode                   `json:"mode"`
	Sitting         SittingID              `json:"sitting,omitempty"` // the test that the plan answers
	PractisedBefore int                    `json:"practised_before"`  // earlier plans of the scenario for practice
	SubmittedAt     time.Time              `json:"submitted_at"`
	Plan            assessment.Plan        `json:"plan"`
	Grade           assessment.Grade       `json:"grade"`
}

// PlanSummary is a plan in a list.
type PlanSummary struct {
	ID              competency.PlanID     `json:"id"`
	Trainee         competency.PersonID   `json:"trainee"`
	TraineeName     string                `json:"trainee_name"`
	Scenario        assessment.ScenarioID `json:"scenario"`
	ScenarioTitle   string                `json:"scenario_title"`
	Attempt         int                   `json:"attempt"`
	Mode            Mode                  `json:"mode"`
	PractisedBefore int                   `json:"practised_before"` // earlier plans of the scenario for practice
	SubmittedAt     time.Time             `json:"submitted_at"`
	Letter          assessment.Letter     `json:"letter"`
	Score           float64               `json:"score"`
	Unsafe          bool                  `json:"unsafe"`
	Pattern         af.Pattern            `json:"pattern"`
}

// PlanFilter narrows a list of plans; empty fields do not.
type PlanFilter struct {
	Trainee  competency.PersonID
	Scenario assessment.ScenarioID
}

// savePlan writes the plan, its key and its audit entry.
func (s *Service) savePlan(h *scene, plan *Plan, o once) error {
	row, err := rowOfPlan(*plan)
	if err != nil {
		return err
	}
	if err := h.tx.SavePlan(row); err != nil {
		return err
	}
	if err := h.keepVersion(plan.Scenario, plan.ScenarioVersion); err != nil {
		return err
	}
	if err := o.remember(h, string(plan.ID)); err != nil {
		return err
	}
	if plan.TraineeName, err = h.name(plan.Trainee); err != nil {
		return err
	}
	return h.tx.Audit("plan", string(plan.ID), nil, row)
}

// PlanByID gives one graded plan.
func (s *Service) PlanByID(ctx context.Context, actor Actor, programme competency.ProgrammeID, id competency.PlanID) (Plan, error) {
	var plan Plan
	err := s.read(ctx, actor, programme, func(h *scene) (err error) {
		plan, err = h.planByID(id)
		return err
	})
	return plan, err
}

func (h *scene) planByID(id competency.PlanID) (Plan, error) {
	row, err := h.tx.PlanByID(h.programme.ID, id)
	if err != nil {
		return Plan{}, err
	}
	if err := h.mayRecord(policies.Plan, policies.Read, row.Trainee, string(row.ID)); err != nil {
		return Plan{}, err
	}
	if err := h.noOpenTest(); err != nil {
		return Plan{}, err
	}
	return h.planOfRow(row)
}

// Plans lists graded plans, newest first: a trainee's own, those of trainees a faculty member supervises, or all for the director.
func (s *Service) Plans(ctx context.Context, actor Actor, programme competency.ProgrammeID, filter PlanFilter, page store.Page) (List[PlanSummary], error) {
	list := List[PlanSummary]{Items: []PlanSummary{}, Caution: atrium.Caution}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		narrow := store.PlanFilter{Trainee: filter.Trainee, Scenario: filter.Scenario}
		var err error
		if narrow.Trainees, err = h.traineesInReach(policies.Plan); err != nil {
			return err
		}
		if narrow.Without, err = h.underTest(); err != nil {
			return err
		}
		rows, next, err := h.tx.Plans(programme, narrow, page)
		if err != nil {
			return err
		}
		list.Items, list.Next = h.summariesOfPlans(rows), next
		return nil
	})
	return list, err
}

// traineesInReach is whose plans or tests the actor may list; nil means everyone's.
func (h *scene) traineesInReach(object policies.Object) ([]competency.PersonID, error) {
	r, err := h.reachOf(object)
	if err != nil || r.everyone {
		return nil, err
	}
	people := []competency.PersonID{}
	if r.own {
		people = append(people, h.actor.Person)
	}
	if r.supervised {
		supervised, err := h.tx.TraineesOf(h.programme.ID, h.actor.Person)
		if err != nil {
			return nil, err
		}
		people = append(people, supervised...)
	}
	return people, nil
}

// summariesOfPlans are what a list shows of plans.
func (h *scene) summariesOfPlans(rows []store.PlanSummary) []PlanSummary {
	list := make([]PlanSummary, len(rows))
	for i, row := range rows {
		list[i] = PlanSummary{
			ID: row.ID, Trainee: row.Trainee, TraineeName: row.TraineeName, Scenario: row.Scenario, ScenarioTitle: h.titleOf(row),
			Attempt: row.Attempt, Mode: modeOf(row), PractisedBefore: row.PractisedBefore, SubmittedAt: row.SubmittedAt, Letter: assessment.Letter(row.Letter), Score: row.Score, Unsafe: row.Unsafe,
			Pattern: af.Pattern(row.Pattern),
		}
	}
	return list
}

// modeOf says under which conditions a stored plan was made.
func modeOf(row store.PlanSummary) Mode {
	if row.Sitting != "" {
		return Test
	}
	return Practice
}

// planOfRow reads a stored plan with its grade.
func (h *scene) planOfRow(row store.PlanRow) (Plan, error) {
	plan := Plan{
		ID: row.ID, Programme: row.Programme, Trainee: row.Trainee, TraineeName: row.TraineeName, Scenario: row.Scenario,
		ScenarioTitle: h.titleOf(row.PlanSummary), ScenarioVersion: row.ScenarioVersion, Attempt: row.Attempt, Mode: modeOf(row.PlanSummary),
		Sitting: row.Sitting, PractisedBefore: row.PractisedBefore, SubmittedAt: row.SubmittedAt,
	}
	if err := json.Unmarshal(row.Plan, &plan.Plan); err != nil {
		return Plan{}, fmt.Errorf("stored plan %s: %w", row.ID, err)
	}
	if err := json.Unmarshal(row.Grade, &plan.Grade); err != nil {
		return Plan{}, fmt.Errorf("stored grade of plan %s: %w", row.ID, err)
	}
	return plan, nil
}

// rowOfPlan is how a plan is stored.
func rowOfPlan(plan Plan) (store.PlanRow, error) {
	row := store.PlanRow{PlanSummary: store.PlanSummary{
		ID: plan.ID, Programme: plan.Programme, Trainee: plan.Trainee, Scenario: plan.Scenario, ScenarioVersion: plan.ScenarioVersion,
		Attempt: plan.Attempt, Pattern: plan.Grade.Pattern, Letter: string(plan.Grade.Letter), Score: plan.Grade.Score, Unsafe: plan.Grade.Unsafe,
		SubmittedAt: plan.SubmittedAt, Sitting: plan.Sitting,
	}}
	var err error
	if row.Plan, err = json.Marshal(plan.Plan); err != nil {
		return row, fmt.Errorf("plan: %w", err)
	}
	if row.Grade, err = json.Marshal(plan.Grade); err != nil {
		return row, fmt.Errorf("grade: %w", err)
	}
	return row, nil
}
