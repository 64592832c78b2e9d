package service

import (
	"context"
	"errors"
	"reflect"
	"time"

	"isthmus/api/store"
	"isthmus/assessment"
	"isthmus/assessment/atrium"
	"isthmus/assessment/strict"
	"isthmus/competency"
	"isthmus/policies"
)

// SittingID names a sitting: one trainee's test on one scenario.
type SittingID = store.SittingID

// SittingSummary is a sitting in a list.
type SittingSummary struct {
	ID              SittingID                `json:"id"`
	Trainee         competency.PersonID      `json:"trainee"`
	TraineeName     string                   `json:"trainee_name"`
	ScenarioID      assessment.ScenarioID    `json:"scenario_id"`
	ScenarioTitle   string                   `json:"scenario_title"`
	ScenarioVersion int                      `json:"scenario_version"`
	Attempt         int                      `json:"attempt"`          // 1, 2, 3, ... over practice and tests
	PractisedBefore int                      `json:"practised_before"` // plans for practice before it
	StartedAt       time.Time                `json:"started_at"`
	EndsAt          time.Time                `json:"ends_at,omitzero"`   // absent: no time is set
	ClosedAt        time.Time                `json:"closed_at,omitzero"` // absent while open
	ServerTime      time.Time                `json:"server_time"`        // now, so that a browser's clock does not matter
	Status          assessment.SittingStatus `json:"status"`
	PlanID          competency.PlanID        `json:"plan_id,omitempty"` // the graded plan
}

// SittingView is a sitting with its scenario and what was saved of the plan so far.
type SittingView struct {
	SittingSummary
	Scenario ScenarioView     `json:"scenario"` // without attempts
	Plan     *assessment.Plan `json:"plan,omitempty"`
	SavedAt  time.Time        `json:"saved_at,omitzero"` // absent: never
	Faults   []strict.Fault   `json:"faults,omitempty"`  // why what had been saved could not be graded when the time was up
	Revision int              `json:"revision"`
	Caution  string           `json:"caution"`
}

// SittingFilter narrows a list of sittings; empty fields do not.
type SittingFilter struct {
	Trainee  competency.PersonID
	Scenario assessment.ScenarioID
	Status   assessment.SittingStatus
}

// SittingStart asks for a test. The key, when given, makes a resend harmless.
type SittingStart struct {
	Scenario       assessment.ScenarioID `json:"scenario"`
	IdempotencyKey string                `json:"-"`
}

// StartSitting opens a test of a live scenario for the actor, who has then the scenario's time for it. It takes the attempt number at
// once. The error is strict.Faults about the scenario, ErrTestOpen while another test is open, ErrTestTaken when this version was
// tested before, ErrKeyReused or ErrForbidden.
func (s *Service) StartSitting(ctx context.Context, actor Actor, programme competency.ProgrammeID, in SittingStart) (SittingView, error) {
	o, err := onceFor(in.IdempotencyKey, "sitting.start", programme, in)
	if err != nil {
		return SittingView{}, err
	}
	var view SittingView
	check := func(h *scene) error { return h.may(policies.Sitting, policies.Create, policies.Own) }
	load := func(h *scene, id string) (err error) {
		view, err = h.sittingByID(SittingID(id))
		return err
	}
	err = s.create(ctx, actor, programme, o, check, load, func() error {
		return s.write(ctx, actor, programme, "sitting.start", func(h *scene) error {
			if err := check(h); err != nil {
				return err
			}
			sitting, err := h.newSitting(SittingID(s.deps.NewID()), in.Scenario)
			if err != nil {
				return err
			}
			if err := o.remember(h, string(sitting.ID)); err != nil {
				return err
			}
			view, err = h.sittingByID(sitting.ID)
			return err
		})
	})
	return view, err
}

// newSitting makes, saves and audits an open sitting of the actor's.
func (h *scene) newSitting(id SittingID, of assessment.ScenarioID) (store.Sitting, error) {
	if err := h.noOpenTest(); err != nil {
		return store.Sitting{}, err
	}
	scenario, err := h.scenario(of)
	if errors.Is(err, ErrNotFound) {
		return store.Sitting{}, fault("scenario", "there is no such scenario to be tested on")
	}
	if err != nil {
		return store.Sitting{}, err
	}
	switch _, err := h.tx.SittingOf(h.programme.ID, h.actor.Person, scenario.ID, scenario.Version); {
	case err == nil:
		return store.Sitting{}, ErrTestTaken
	case !errors.Is(err, ErrNotFound):
		return store.Sitting{}, err
	}
	sitting := store.Sitting{
		ID: id, Programme: h.programme.ID, Trainee: h.actor.Person, Scenario: scenario.ID, ScenarioVersion: scenario.Version,
		Sitting: assessment.StartSitting(scenario, h.now),
	}
	if sitting.ScopePolicy, err = h.policyVersion(); err != nil {
		return sitting, err
	}
	if sitting.Attempt, err = h.tx.NextAttempt(h.programme.ID, h.actor.Person, scenario.ID); err != nil {
		return sitting, err
	}
	if err := h.tx.CreateSitting(sitting); err != nil {
		return sitting, err
	}
	if err := h.keepVersion(scenario.ID, scenario.Version); err != nil {
		return sitting, err
	}
	return sitting, h.tx.Audit("sitting", string(id), nil, sitting)
}

// SittingByID gives one sitting, to go on with it on whatever device, or to see how it ended.
func (s *Service) SittingByID(ctx context.Context, actor Actor, programme competency.ProgrammeID, id SittingID) (SittingView, error) {
	var view SittingView
	err := s.read(ctx, actor, programme, func(h *scene) (err error) {
		view, err = h.sittingByID(id)
		return err
	})
	return view, err
}

// Sittings lists sittings, newest first: a trainee's own, those of trainees a faculty member supervises, or all for the director.
func (s *Service) Sittings(ctx context.Context, actor Actor, programme competency.ProgrammeID, filter SittingFilter, page store.Page) (List[SittingSummary], error) {
	list := List[SittingSummary]{Items: []SittingSummary{}}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		narrow := store.SittingFilter{Trainee: filter.Trainee, Scenario: filter.Scenario, Status: filter.Status}
		var err error
		if narrow.Trainees, err = h.traineesInReach(policies.Sitting); err != nil {
			return err
		}
		rows, next, err := h.tx.Sittings(programme, narrow, page)
		if err != nil {
			return err
		}
		list.Items, list.Next = make([]SittingSummary, len(rows)), next
		for i, row := range rows {
			scenario, err := h.scenarioVersion(row.Scenario, row.ScenarioVersion)
			if err != nil {
				return err
			}
			list.Items[i] = h.summaryOfSitting(row, scenario)
		}
		return nil
	})
	return list, err
}

// SaveSitting keeps a plan as it is so far, which need not be a valid one. Its texts are screened now and not only at the end: a draft is
// stored, and what names a patient must not be. The error is strict.Faults about the plan, assessment.ErrSittingOver, ErrStale when it
// was saved elsewhere meanwhile, or ErrForbidden.
func (s *Service) SaveSitting(ctx context.Context, actor Actor, programme competency.ProgrammeID, id SittingID, revision int, plan assessment.Plan, overrides ...competency.Override) (SittingView, error) {
	at := textPlace{object: "sitting", id: string(id), within: "plan"}
	var view SittingView
	err := s.write(ctx, actor, programme, "sitting.save", func(h *scene) error {
		before, err := h.ownSitting(id)
		if err != nil {
			return err
		}
		after := before
		if after.Sitting, err = before.Save(plan, h.now); err != nil {
			return err
		}
		if reflect.DeepEqual(plan, before.Plan) { // nothing to save: sent again because the answer was lost, or saved without a change
			view, err = h.viewOfSitting(before)
			return err
		}
		if before.Revision != revision {
			return ErrStale
		}
		kept, err := h.kept(at, overrides, freeText{"note", before.Plan.Note})
		if err != nil {
			return err
		}
		if err := screenDraft("plan", plan, kept...); err != nil {
			return err
		}
		if err := errors.Join(h.saveSitting(before, after), h.saveKept(at, kept, freeText{"note", plan.Note})); err != nil {
			return err
		}
		view, err = h.viewOfSitting(after)
		return err
	})
	return view, err
}

// ownSitting loads a sitting the actor may change: nobody answers for another.
func (h *scene) ownSitting(id SittingID) (store.Sitting, error) {
	sitting, err := h.tx.SittingByID(h.programme.ID, id)
	if err != nil {
		return store.Sitting{}, err
	}
	return sitting, h.mayTrainee(policies.Sitting, policies.Edit, sitting.Trainee)
}

// sittingByID loads a sitting the actor may read.
func (h *scene) sittingByID(id SittingID) (SittingView, error) {
	sitting, err := h.tx.SittingByID(h.programme.ID, id)
	if err != nil {
		return SittingView{}, err
	}
	if err := h.mayTrainee(policies.Sitting, policies.Read, sitting.Trainee); err != nil {
		return SittingView{}, err
	}
	if h.unsettled != nil && sitting.Overdue(h.now) {
		return SittingView{}, h.unsettled
	}
	return h.viewOfSitting(sitting)
}

// viewOfSitting is what people see of a sitting. What is in work is the trainee's alone until it is closed.
func (h *scene) viewOfSitting(sitting store.Sitting) (SittingView, error) {
	scenario, err := h.scenarioVersion(sitting.Scenario, sitting.ScenarioVersion)
	if err != nil {
		return SittingView{}, err
	}
	pattern, err := scenario.Pattern()
	if err != nil {
		return SittingView{}, err
	}
	view := SittingView{
		SittingSummary: h.summaryOfSitting(sitting, scenario),
		Scenario:       ScenarioView{Scenario: scenario.ForTrainee(), Pattern: pattern, Attempts: []PlanSummary{}},
		SavedAt:        sitting.SavedAt, Faults: sitting.Faults, Revision: sitting.Revision, Caution: atrium.Caution,
	}
	if sitting.Status != assessment.SittingOpen || sitting.Trainee == h.actor.Person {
		if sitting.Plan.Lesions == nil {
			sitting.Plan.Lesions = []atrium.Lesion{} // a list, for readers that go through it
		}
		view.Plan = &sitting.Plan
	}
	return view, nil
}

func (h *scene) summaryOfSitting(s store.Sitting, scenario assessment.Scenario) SittingSummary {
	return SittingSummary{
		ID: s.ID, Trainee: s.Trainee, TraineeName: s.TraineeName, ScenarioID: s.Scenario, ScenarioTitle: scenario.Title, ScenarioVersion: s.ScenarioVersion,
		Attempt: s.Attempt, PractisedBefore: s.PractisedBefore, StartedAt: s.StartedAt, EndsAt: s.EndsAt, ClosedAt: s.ClosedAt, ServerTime: h.now,
		Status: s.Status, PlanID: s.PlanID,
	}
}
