package service

import (
	"context"
	"errors"

	"isthmus/api/store"
	"isthmus/assessment"
	"isthmus/assessment/question"
	"isthmus/competency"
	"isthmus/policies"
)

// QuizByID gives one attempt, to go on with it on whatever device, or to see how it ended.
func (s *Service) QuizByID(ctx context.Context, actor Actor, programme competency.ProgrammeID, id competency.QuizID) (QuizView, error) {
	var view QuizView
	err := s.read(ctx, actor, programme, func(h *scene) (err error) {
		view, err = h.quizByID(id)
		return err
	})
	return view, err
}

// SaveQuiz keeps replies of an open attempt; places that are not named stay as they are. The error is strict.Faults about the replies,
// assessment.ErrSittingOver, ErrStale when it was saved elsewhere meanwhile, ErrTestOpen where feedback would follow during a test on a
// scenario, or ErrForbidden.
func (s *Service) SaveQuiz(ctx context.Context, actor Actor, programme competency.ProgrammeID, id competency.QuizID, revision int, changes []question.Change) (QuizView, error) {
	return s.changeQuiz(ctx, actor, programme, "quiz.save", id, func(h *scene, before store.Quiz) (store.Quiz, error) {
		after, err := before, error(nil)
		after.Attempt, err = before.Save(changes, h.now)
		switch {
		case errors.Is(err, assessment.ErrSittingOver):
			return before, err
		case before.Holds(changes): // sent again because the answer was lost, or saved without a change
			return before, nil
		case before.Revision != revision:
			return before, ErrStale
		}
		return after, err
	})
}

// SubmitQuiz closes an attempt with what is saved and marks it; nothing of it changes afterwards. The errors are those of SaveQuiz.
func (s *Service) SubmitQuiz(ctx context.Context, actor Actor, programme competency.ProgrammeID, id competency.QuizID, revision int) (QuizView, error) {
	return s.changeQuiz(ctx, actor, programme, "quiz.submit", id, func(h *scene, before store.Quiz) (store.Quiz, error) {
		after, err := before, error(nil)
		after.Attempt, err = before.Submit(s.deps.Model, h.now)
		if err == nil && before.Revision != revision {
			return before, ErrStale
		}
		return after, err
	})
}

// changeQuiz does one step of the actor's own attempt: nobody answers for another. Nothing is written when the step changes nothing.
func (s *Service) changeQuiz(ctx context.Context, actor Actor, programme competency.ProgrammeID, act string, id competency.QuizID,
	step func(*scene, store.Quiz) (store.Quiz, error)) (QuizView, error) {
	var view QuizView
	err := s.write(ctx, actor, programme, act, func(h *scene) error {
		before, err := h.tx.QuizByID(programme, id)
		if err != nil {
			return err
		}
		if err := h.mayTrainee(policies.Quiz, policies.Edit, before.Trainee); err != nil {
			return err
		}
		after, err := step(h, before)
		if err != nil {
			return err
		}
		if after.Revision != before.Revision {
			if err := h.saveQuiz(before, after); err != nil {
				return err
			}
		}
		view, err = h.viewOfQuiz(after)
		return err
	})
	return view, err
}

// closeQuiz ends an attempt whose time is up, as of when it was, with what had been saved by then. Nothing in it depends on who looks and
// when.
func (s *Service) closeQuiz(ctx context.Context, actor Actor, programme competency.ProgrammeID, id competency.QuizID) error {
	return s.writeAsIs(ctx, actor, programme, "quiz.time-up", func(h *scene) error {
		before, err := h.tx.QuizByID(programme, id)
		if err != nil {
			return err
		}
		after := before
		after.Attempt, err = before.End(s.deps.Model, h.now)
		if errors.Is(err, assessment.ErrSittingOver) { // somebody else looked at the same moment
			return nil
		}
		if err != nil {
			return err
		}
		return h.saveQuiz(before, after)
	})
}

// saveQuiz keeps a changed attempt with its audit entry.
func (h *scene) saveQuiz(before, after store.Quiz) error {
	if err := h.tx.SaveQuiz(after, before.Revision); err != nil {
		return err
	}
	return h.tx.Audit("quiz", string(after.ID), before, after)
}
