package service

import (
	"context"
	"fmt"
	"strings"

	"isthmus/api/store"
	"isthmus/assessment/atrium"
	"isthmus/assessment/question"
	"isthmus/assessment/strict"
	"isthmus/competency"
	"isthmus/policies"
)

// QuestionCreation is a question to begin. The key, when given, makes a resend harmless.
type QuestionCreation struct {
	Item           question.Item `json:"item"`
	IdempotencyKey string        `json:"-"`
}

// QuestionCheck is what is wrong with a question, and how a trainee would see it.
type QuestionCheck struct {
	Shown  *question.View `json:"shown,omitempty"` // absent while it is not finished
	Faults []strict.Fault `json:"faults"`
	Twins  []QuestionTwin `json:"twins"`

	Caution string `json:"caution"`
}

// screenItem refuses what could name a patient, and text that one of the databases could not keep. A source is a citation, with numbers
// of its own.
func (s *Service) screenItem(it question.Item) strict.Faults {
	var faults strict.Faults
	visit := func(field, text string) {
		if strings.ContainsRune(text, 0) {
			faults.Add(field, "holds the NUL character: remove it")
		}
		if field != "source" {
			screenInto(&faults, field, text)
		}
	}
	it.EachText(visit)
	return faults
}

// CreateQuestion begins a question as a draft of version 1; what it says of version and status is passed over. The error is strict.Faults,
// ErrDuplicate when the bank has its id, ErrKeyReused or ErrForbidden.
func (s *Service) CreateQuestion(ctx context.Context, actor Actor, programme competency.ProgrammeID, in QuestionCreation) (BankQuestion, error) {
	o, err := onceFor(in.IdempotencyKey, "question.create", programme, in)
	if err != nil {
		return BankQuestion{}, err
	}
	var view BankQuestion
	check := func(h *scene) error { return h.mayQuestion(policies.Create) }
	load := func(h *scene, id string) (err error) {
		view, err = h.questionByID(question.ItemID(id))
		return err
	}
	err = s.create(ctx, actor, programme, o, check, load, func() error {
		return s.write(ctx, actor, programme, "question.create", func(h *scene) error {
			if err := check(h); err != nil {
				return err
			}
			e, err := h.newQuestion(in.Item, "create")
			if err != nil {
				return under("item", err)
			}
			if err := o.remember(h, string(e.ID)); err != nil {
				return err
			}
			view, err = h.questionView(store.Question{Edition: e, CreatedAt: h.now, UpdatedAt: h.now})
			return err
		})
	})
	return view, err
}

// newQuestion makes, saves and audits a draft.
func (h *scene) newQuestion(it question.Item, kind string) (question.Edition, error) {
	if _, known := question.Starter().Item(it.ID); known {
		return question.Edition{}, fmt.Errorf("a starter question has the id: %w", ErrDuplicate)
	}
	if err := h.service.screenItem(it).Err(); err != nil {
		return question.Edition{}, err
	}
	var err error
	if it.Author == "" {
		if it.Author, err = h.name(h.actor.Person); err != nil {
			return question.Edition{}, err
		}
	}
	e, err := question.NewEdition(it, string(h.actor.Person))
	if err != nil {
		return e, err
	}
	if err := h.tx.CreateQuestion(h.programme.ID, e, h.now); err != nil {
		return e, err
	}
	act := store.Done{Kind: kind, By: h.actor.Person, At: h.now, Version: e.Version}
	if err := h.tx.AddQuestionAct(h.programme.ID, e.ID, act); err != nil {
		return e, err
	}
	return e, h.tx.Audit("question", string(e.ID), nil, e)
}

// CheckQuestion says what is wrong with a question as it would be asked, shows it as a trainee gets it, and warns of questions much like
// it. Nothing is kept.
func (s *Service) CheckQuestion(ctx context.Context, actor Actor, programme competency.ProgrammeID, it question.Item) (QuestionCheck, error) {
	check := QuestionCheck{Caution: atrium.Caution}
	err := s.read(ctx, actor, programme, func(h *scene) (err error) {
		if err := h.mayQuestion(policies.Preview); err != nil {
			return err
		}
		it := question.Edition{Item: it}.ForReview()
		if it.Version == 0 {
			it.Version = 1
		}
		if it.Author == "" {
			if it.Author, err = h.name(actor.Person); err != nil {
				return err
			}
		}
		if check.Shown, check.Faults, err = s.tried(it); err != nil {
			return err
		}
		check.Twins, err = h.twins(it)
		return err
	})
	return check, err
}
