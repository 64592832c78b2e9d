package service

import (
	"context"
	"encoding/json"
	"errors"
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
	SubmittedAt     time.Time              `json:"submitted_at"`
	Plan            assessment.Plan        `json:"plan"`
	Grade           assessment.Grade       `json:"grade"`
}

// PlanSummary is a plan in a list.
type PlanSummary struct {
	ID            competency.PlanID     `json:"id"`
	Trainee       competency.PersonID   `json:"trainee"`
	TraineeName   string                `json:"trainee_name"`
	Scenario      assessment.ScenarioID `json:"scenario"`
	ScenarioTitle string                `json:"scenario_title"`
	Attempt       int                   `json:"attempt"`
	Mode          Mode                  `json:"mode"`
	SubmittedAt   time.Time             `json:"submitted_at"`
	Letter        assessment.Letter     `json:"letter"`
	Score         float64               `json:"score"`
	Unsafe        bool                  `json:"unsafe"`
	Pattern       af.Pattern            `json:"pattern"`
}

// PlanSubmission is a trainee's answer to a scenario. The key, when given, makes a resend harmless.
type PlanSubmission struct {
	Scenario       assessment.ScenarioID `json:"scenario"`
	Plan           assessment.Plan       `json:"plan"`
	Sitting        SittingID             `json:"sitting,omitempty"` // of the test that the plan answers; empty for practice
	IdempotencyKey string                `json:"-"`
}

// PlanFilter narrows a list of plans; empty fields do not.
type PlanFilter struct {
	Trainee  competency.PersonID
	Scenario assessment.ScenarioID
}

// SubmitPlan grades a plan and keeps both, for good. The error is strict.Faults about scenario or plan (its note is screened for
// identifiers of patients), ErrKeyReused or ErrForbidden.
func (s *Service) SubmitPlan(ctx context.Context, actor Actor, programme competency.ProgrammeID, in PlanSubmission) (Plan, error) {
	o, err := onceFor(in.IdempotencyKey, "plan.submit", programme, in)
	if err != nil {
		return Plan{}, err
	}
	var scenario assessment.Scenario
	var policy assessment.Policy
	var unknown error // told only once it is clear that this is no resend
	check := func(h *scene) (err error) {
		if err := h.may(policies.Plan, policies.Create, policies.Own); err != nil {
			return err
		}
		if err := h.noOpenTest(); err != nil {
			return err
		}
		scenario, unknown = h.scenario(in.Scenario)
		policy, err = h.policy()
		return err
	}
	var plan Plan
	load := func(h *scene, id string) (err error) {
		plan, err = h.planByID(competency.PlanID(id))
		return err
	}
	err = s.create(ctx, actor, programme, o, check, load, func() (err error) {
		if errors.Is(unknown, ErrNotFound) {
			return fault("scenario", "there is no such scenario to plan for")
		}
		if unknown != nil {
			return unknown
		}
		plan, err = s.gradeAndSave(ctx, actor, programme, scenario, policy, in, o)
		return err
	})
	return plan, err
}

// gradeAndSave does the work of SubmitPlan outside, the saving inside one transaction.
func (s *Service) gradeAndSave(ctx context.Context, actor Actor, programme competency.ProgrammeID, scenario assessment.Scenario, policy assessment.Policy, in PlanSubmission, o once) (Plan, error) {
	if err := screen("plan.note", in.Plan.Note, maxNote); err != nil {
		return Plan{}, err
	}
	grade, err := assessment.GradePlan(s.deps.Model, scenario, in.Plan, policy)
	if err != nil {
		return Plan{}, under("plan", err)
	}
	var plan Plan
	err = s.write(ctx, actor, programme, "plan.submit", func(h *scene) error {
		if err := h.may(policies.Plan, policies.Create, policies.Own); err != nil {
			return err
		}
		attempt, err := h.tx.NextAttempt(programme, actor.Person, in.Scenario)
		if err != nil {
			return err
		}
		plan = Plan{
			ID: competency.PlanID(s.deps.NewID()), Programme: programme, Trainee: actor.Person, Scenario: scenario.ID, ScenarioTitle: scenario.Title,
			ScenarioVersion: scenario.Version, Attempt: attempt, Mode: Practice, SubmittedAt: h.now, Plan: in.Plan, Grade: grade,
		}
		return s.savePlan(h, &plan, o)
	})
	return plan, err
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
	if err := h.mayTrainee(policies.Plan, policies.Read, row.Trainee); err != nil {
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
		if narrow.Trainees, err = h.plannersInReach(); err != nil {
			return err
		}
		rows, next, err := h.tx.Plans(programme, narrow, page)
		if err != nil {
			return err
		}
		list.Next = next
		list.Items, err = h.summariesOfPlans(rows)
		return err
	})
	return list, err
}

// plannersInReach is whose plans the actor may list; nil means everyone's.
func (h *scene) plannersInReach() ([]competency.PersonID, error) {
	r, err := h.reachOf(policies.Plan)
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
func (h *scene) summariesOfPlans(rows []store.PlanSummary) ([]PlanSummary, error) {
	answered := make([]edition, len(rows))
	for i, row := range rows {
		answered[i] = edition{row.Scenario, row.ScenarioVersion}
	}
	titles, err := h.titlesOf(answered...)
	if err != nil {
		return nil, err
	}
	list := make([]PlanSummary, len(rows))
	for i, row := range rows {
		list[i] = PlanSummary{
			ID: row.ID, Trainee: row.Trainee, TraineeName: row.TraineeName, Scenario: row.Scenario, ScenarioTitle: titles[answered[i]],
			Attempt: row.Attempt, Mode: Practice, SubmittedAt: row.SubmittedAt, Letter: assessment.Letter(row.Letter), Score: row.Score, Unsafe: row.Unsafe,
			Pattern: af.Pattern(row.Pattern),
		}
	}
	return list, nil
}

// planOfRow reads a stored plan with its grade.
func (h *scene) planOfRow(row store.PlanRow) (Plan, error) {
	answered := edition{row.Scenario, row.ScenarioVersion}
	titles, err := h.titlesOf(answered)
	if err != nil {
		return Plan{}, err
	}
	plan := Plan{
		ID: row.ID, Programme: row.Programme, Trainee: row.Trainee, TraineeName: row.TraineeName, Scenario: row.Scenario,
		ScenarioTitle: titles[answered], ScenarioVersion: row.ScenarioVersion, Attempt: row.Attempt, Mode: Practice, SubmittedAt: row.SubmittedAt,
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
		SubmittedAt: plan.SubmittedAt,
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
