package service

import (
	"context"

	"isthmus/api/store"
	"isthmus/assessment/question"
	"isthmus/competency"
	"isthmus/policies"
)

// questionMove is one act on a question of the bank: its name, what it is to the policies, and how the domain decides it.
type questionMove struct {
	kind   string
	action policies.Action
	why    because
	decide func(question.Edition) (question.Edition, error)
}

// moveQuestion authorises a move, checks that the question is still at the revision the actor saw, decides, and saves with the audit entry.
func (s *Service) moveQuestion(ctx context.Context, actor Actor, programme competency.ProgrammeID, id question.ItemID, revision int, m questionMove) (BankQuestion, error) {
	var view BankQuestion
	err := s.write(ctx, actor, programme, "question."+m.kind, func(h *scene) error {
		if err := h.mayQuestion(m.action); err != nil { // before anything is looked up, so that nobody learns of what they may not see
			return err
		}
		before, err := h.question(id)
		if err != nil {
			return err
		}
		if before.Revision != revision {
			return ErrStale
		}
		after := before
		err = h.screened(textPlace{object: "question", id: string(id)}, m.why, func() (err error) {
			after.Edition, err = h.moved(before.Edition, m)
			return err
		})
		if err != nil {
			return err
		}
		after.UpdatedAt = h.now
		view, err = h.questionView(after)
		return err
	})
	return view, err
}

// moved decides a move, and saves what comes of it with its act and its audit entry.
func (h *scene) moved(before question.Edition, m questionMove) (question.Edition, error) {
	after, err := m.decide(before)
	if err != nil {
		return before, err
	}
	if err := h.saveQuestion(before, after); err != nil {
		return before, err
	}
	if m.action != policies.Edit {
		act := store.Done{Kind: m.kind, By: h.actor.Person, At: h.now, Reason: m.why.reason, Version: after.Version}
		if err := h.tx.AddQuestionAct(h.programme.ID, before.ID, act); err != nil {
			return before, err
		}
	}
	return after, h.tx.Audit("question", string(before.ID), before, after)
}

// saveQuestion saves a question after an act. A starter question enters the programme's bank with its first act, and the version that came
// with the program is kept beside it; a version that went live is kept for good.
func (h *scene) saveQuestion(before, after question.Edition) error {
	programme := h.programme.ID
	if before.Revision == 0 {
		if err := h.tx.KeepQuestionVersion(programme, store.QuestionVersion{Item: before.Item, KeptAt: h.now}); err != nil {
			return err
		}
		return h.tx.CreateQuestion(programme, after, h.now)
	}
	if err := h.tx.SaveQuestion(programme, after, before.Revision, h.now); err != nil {
		return err
	}
	if after.LiveVersion <= before.LatestVersion {
		return nil
	}
	return h.tx.KeepQuestionVersion(programme, store.QuestionVersion{
		Item: after.Item, Author: competency.PersonID(after.Author()), ApprovedBy: competency.PersonID(after.Reviewer), KeptAt: h.now,
	})
}

// EditQuestion replaces the text of a draft, which may be unfinished. The error is strict.Faults about the text, ErrStale, ErrForbidden or
// a named one of assessment or question.
func (s *Service) EditQuestion(ctx context.Context, actor Actor, programme competency.ProgrammeID, id question.ItemID, revision int, it question.Item) (BankQuestion, error) {
	return s.moveQuestion(ctx, actor, programme, id, revision, questionMove{kind: "edit", action: policies.Edit, decide: func(e question.Edition) (question.Edition, error) {
		if err := s.screenItem(it).Err(); err != nil {
			return e, under("item", err)
		}
		after, err := e.Edit(it, string(actor.Person))
		return after, under("item", err)
	}})
}

// SubmitQuestion hands a draft to review. It must be without mistakes, and its key and the wrong answers it foresees must be marked as
// they should be: the error is then strict.Faults with all of them.
func (s *Service) SubmitQuestion(ctx context.Context, actor Actor, programme competency.ProgrammeID, id question.ItemID, revision int) (BankQuestion, error) {
	return s.moveQuestion(ctx, actor, programme, id, revision, questionMove{kind: "submit", action: policies.Submit, decide: func(e question.Edition) (question.Edition, error) {
		after, err := e.Submit(s.deps.Model)
		return after, under("item", err)
	}})
}

// ReturnQuestion hands a question in review back with the reason.
func (s *Service) ReturnQuestion(ctx context.Context, actor Actor, programme competency.ProgrammeID, id question.ItemID, revision int, reason string, overrides ...competency.Override) (BankQuestion, error) {
	return s.moveQuestion(ctx, actor, programme, id, revision, questionMove{kind: "return", action: policies.Return, why: because{reason, overrides}, decide: func(e question.Edition) (question.Edition, error) {
		return e.Return(string(actor.Person), reason)
	}})
}

// ApproveQuestion makes a question in review live: it is asked from now on. Nobody approves what they wrote in.
func (s *Service) ApproveQuestion(ctx context.Context, actor Actor, programme competency.ProgrammeID, id question.ItemID, revision int) (BankQuestion, error) {
	return s.moveQuestion(ctx, actor, programme, id, revision, questionMove{kind: "approve", action: policies.Approve, decide: func(e question.Edition) (question.Edition, error) {
		after, err := e.Approve(string(actor.Person), s.deps.Model)
		return after, under("item", err)
	}})
}

// RetireQuestion takes a question out of use in the programme with the reason. Attempts keep what they were asked.
func (s *Service) RetireQuestion(ctx context.Context, actor Actor, programme competency.ProgrammeID, id question.ItemID, revision int, reason string, overrides ...competency.Override) (BankQuestion, error) {
	return s.moveQuestion(ctx, actor, programme, id, revision, questionMove{kind: "retire", action: policies.Retire, why: because{reason, overrides}, decide: func(e question.Edition) (question.Edition, error) {
		return e.Retire(reason)
	}})
}

// ReviseQuestion begins the next version as a draft of what is live or was retired. What is live goes on being asked meanwhile.
func (s *Service) ReviseQuestion(ctx context.Context, actor Actor, programme competency.ProgrammeID, id question.ItemID, revision int) (BankQuestion, error) {
	return s.moveQuestion(ctx, actor, programme, id, revision, questionMove{kind: "revise", action: policies.Create, decide: func(e question.Edition) (question.Edition, error) {
		return e.Revise(string(actor.Person))
	}})
}
