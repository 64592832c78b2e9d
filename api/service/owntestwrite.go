package service

import (
	"context"

	"isthmus/api/store"
	"isthmus/assessment"
	"isthmus/assessment/question"
	"isthmus/competency"
	"isthmus/policies"
)

// TestCreation is a test to begin. The key, when given, makes a resend harmless.
type TestCreation struct {
	Plan           question.TestPlan `json:"plan"`
	IdempotencyKey string            `json:"-"`
}

// CreateTest begins a test as the draft of version 1; it may be unfinished. The error is strict.Faults, ErrKeyReused or ErrForbidden.
func (s *Service) CreateTest(ctx context.Context, actor Actor, programme competency.ProgrammeID, in TestCreation) (TestView, error) {
	o, err := onceFor(in.IdempotencyKey, "test.create", programme, in)
	if err != nil {
		return TestView{}, err
	}
	var view TestView
	check := func(h *scene) error { return h.mayTest(policies.Create) }
	load := func(h *scene, id string) (err error) {
		view, err = h.testByID(question.TestID(id))
		return err
	}
	err = s.create(ctx, actor, programme, o, check, load, func() error {
		return s.write(ctx, actor, programme, "test.create", func(h *scene) error {
			if err := check(h); err != nil {
				return err
			}
			if err := screen("plan.title", in.Plan.Title, maxNote); err != nil {
				return err
			}
			e, err := question.NewTest(question.TestID(s.deps.NewID()), in.Plan, string(actor.Person))
			if err != nil {
				return under("plan", err)
			}
			if err := h.tx.CreateTest(programme, e, h.now); err != nil {
				return err
			}
			if err := o.remember(h, string(e.ID)); err != nil {
				return err
			}
			if err := h.tx.Audit("test", string(e.ID), nil, e); err != nil {
				return err
			}
			view, err = h.testByID(e.ID)
			return err
		})
	})
	return view, err
}

// testMove is one act on a test: its name, what it is to the policies, why, and how the domain decides it.
type testMove struct {
	kind   string
	action policies.Action
	why    because
	decide func(*scene, question.TestEdition) (question.TestEdition, error)
}

// moveTest authorises an act on a test at the revision the actor saw, decides, and saves with the audit entry.
func (s *Service) moveTest(ctx context.Context, actor Actor, programme competency.ProgrammeID, id question.TestID, revision int, m testMove) (TestView, error) {
	var view TestView
	err := s.write(ctx, actor, programme, "test."+m.kind, func(h *scene) error {
		if err := h.mayTest(m.action); err != nil {
			return err
		}
		before, err := h.tx.TestByID(programme, id)
		if err != nil {
			return err
		}
		if before.Revision != revision {
			return ErrStale
		}
		after := before.TestEdition
		err = h.screened(textPlace{object: "test", id: string(id)}, m.why, func() (err error) {
			if after, err = m.decide(h, before.TestEdition); err != nil {
				return err
			}
			return h.tx.SaveTest(programme, after, revision, h.now)
		})
		if err != nil {
			return err
		}
		if err := h.tx.Audit("test", string(id), before.TestEdition, after); err != nil {
			return err
		}
		view, err = h.testByID(id)
		return err
	})
	return view, err
}

// EditTest replaces the plan of a draft. The error is strict.Faults, ErrStale, ErrForbidden or assessment.ErrNotDraft.
func (s *Service) EditTest(ctx context.Context, actor Actor, programme competency.ProgrammeID, id question.TestID, revision int, plan question.TestPlan) (TestView, error) {
	return s.moveTest(ctx, actor, programme, id, revision, testMove{kind: "edit", action: policies.Edit, decide: func(_ *scene, e question.TestEdition) (question.TestEdition, error) {
		if err := screen("plan.title", plan.Title, maxNote); err != nil {
			return e, err
		}
		after, err := e.Edit(plan, string(actor.Person))
		return after, under("plan", err)
	}})
}

// PublishTest makes a draft live: trainees are offered it from now on. The version is kept for good.
func (s *Service) PublishTest(ctx context.Context, actor Actor, programme competency.ProgrammeID, id question.TestID, revision int) (TestView, error) {
	return s.moveTest(ctx, actor, programme, id, revision, testMove{kind: "publish", action: policies.Approve, decide: func(h *scene, e question.TestEdition) (question.TestEdition, error) {
		bank, err := h.bank()
		if err != nil {
			return e, err
		}
		after, err := e.Publish(bank)
		if err != nil {
			return e, under("plan", err)
		}
		return after, h.tx.KeepTestVersion(programme, store.TestVersion{
			Test: id, Version: after.Version, Plan: after.Plan, PublishedBy: actor.Person, PublishedAt: h.now,
		})
	}})
}

// ReviseTest begins the next version as a draft. What is live is offered meanwhile.
func (s *Service) ReviseTest(ctx context.Context, actor Actor, programme competency.ProgrammeID, id question.TestID, revision int) (TestView, error) {
	return s.moveTest(ctx, actor, programme, id, revision, testMove{kind: "revise", action: policies.Edit, decide: func(_ *scene, e question.TestEdition) (question.TestEdition, error) {
		return e.Revise(string(actor.Person))
	}})
}

// RetireTest takes a test out of use with the reason. Attempts keep what they were asked.
func (s *Service) RetireTest(ctx context.Context, actor Actor, programme competency.ProgrammeID, id question.TestID, revision int, reason string, overrides ...competency.Override) (TestView, error) {
	return s.moveTest(ctx, actor, programme, id, revision, testMove{kind: "retire", action: policies.Retire, why: because{reason, overrides}, decide: func(_ *scene, e question.TestEdition) (question.TestEdition, error) {
		return e.Retire(reason)
	}})
}

// offeredTests are the programme's own live tests that the bank can fill now. Of a fixed form whose question has a newer version, or was
// retired, nothing is offered until the test is revised: what was rated and chosen is not what would be asked.
func (h *scene) offeredTests(bank question.Bank, open competency.QuizID) ([]QuizOffer, error) {
	rows, err := h.tx.Tests(h.programme.ID)
	if err != nil {
		return nil, err
	}
	var offers []QuizOffer
	for _, row := range rows {
		if row.LiveVersion == 0 {
			continue
		}
		plan, err := h.livePlan(row)
		if err != nil {
			return nil, err
		}
		if _, err := question.Assemble(bank, plan.Blueprint, previewSeed); err != nil {
			continue
		}
		cut, err := h.cutInForce(row.ID, row.LiveVersion)
		if err != nil {
			return nil, err
		}
		offers = append(offers, QuizOffer{
			Mode: question.Test, Test: row.ID, Title: plan.Title, Items: plan.Items(), Minutes: plan.Minutes, Negative: plan.Negative, Cut: cut.Percent, CutFrom: &cut, Open: open,
		})
	}
	return offers, nil
}

// beginOwnTest opens an attempt of the actor's at one of the programme's own tests, with the mark in force. The error is strict.Faults
// about test.
func (h *scene) beginOwnTest(bank question.Bank, in QuizStart, seed int64) (question.Attempt, error) {
	if in.Mode != question.Test || in.Topic != "" {
		return question.Attempt{}, fault("test", "goes with the mode test and without a topic")
	}
	row, err := h.tx.TestByID(h.programme.ID, in.Test)
	if err != nil || row.LiveVersion == 0 {
		return question.Attempt{}, fault("test", "is not offered")
	}
	plan, err := h.livePlan(row)
	if err != nil {
		return question.Attempt{}, err
	}
	cut, err := h.cutInForce(row.ID, row.LiveVersion)
	if err != nil {
		return question.Attempt{}, err
	}
	of, err := h.cutOfForm(cut)
	if err != nil {
		return question.Attempt{}, err
	}
	a, err := question.BeginTest(bank, question.TestRef{ID: row.ID, Version: row.LiveVersion}, plan, seed, h.now, of)
	if err != nil {
		return a, fault("test", "cannot be asked now: its questions have changed. The director has to revise it")
	}
	return a, nil
}

// liveTest is a test that is live. The error is assessment.ErrRetired or ErrNotFound.
func (h *scene) liveTest(id question.TestID) (store.OwnTest, question.TestPlan, error) {
	row, err := h.tx.TestByID(h.programme.ID, id)
	if err != nil {
		return row, question.TestPlan{}, err
	}
	if row.LiveVersion == 0 {
		return row, question.TestPlan{}, assessment.ErrRetired
	}
	plan, err := h.livePlan(row)
	return row, plan, err
}
