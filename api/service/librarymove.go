package service

import (
	"context"
	"fmt"

	"isthmus/api/store"
	"isthmus/assessment"
	"isthmus/competency"
	"isthmus/policies"
)

// editionMove is one act on a scenario of the library: its name, what it is to the policies, and how the domain decides it.
type editionMove struct {
	kind   string
	action policies.Action
	why    because
	decide func(assessment.Edition) (assessment.Edition, error)
}

// moveEdition authorises a move, checks that the edition is still at the revision the actor saw, decides, and saves with the audit entry.
func (s *Service) moveEdition(ctx context.Context, actor Actor, programme competency.ProgrammeID, id assessment.ScenarioID, revision int, m editionMove) (EditionView, error) {
	var view EditionView
	err := s.write(ctx, actor, programme, "edition."+m.kind, func(h *scene) error {
		before, err := h.editionFor(id, revision, m.action)
		if err != nil {
			return err
		}
		after := before
		err = h.screened(textPlace{object: "edition", id: string(id)}, m.why, func() (err error) {
			if after.Edition, err = m.decide(before.Edition); err != nil {
				return err
			}
			if err := h.saveEdition(before.Edition, after.Edition); err != nil || m.action == policies.Edit {
				return err
			}
			return h.tx.AddEditionAct(programme, id, store.Done{Kind: m.kind, By: actor.Person, At: h.now, Reason: m.why.reason, Version: after.Version})
		})
		if err != nil {
			return err
		}
		if err := h.tx.Audit("edition", string(id), before.Edition, after.Edition); err != nil {
			return err
		}
		after.UpdatedAt = h.now
		view, err = h.editionView(after)
		return err
	})
	return view, err
}

// editionFor loads an edition for a move: ErrForbidden before ErrNotFound and ErrStale, so that nobody learns of what they may not see.
func (h *scene) editionFor(id assessment.ScenarioID, revision int, action policies.Action) (store.Edition, error) {
	if err := h.mayAuthor(action); err != nil {
		return store.Edition{}, err
	}
	e, err := h.edition(id)
	if err == nil && e.Revision != revision {
		return store.Edition{}, ErrStale
	}
	return e, err
}

// saveEdition saves an edition after an act. A starter scenario enters the programme's library with its first act, and the version that
// came with the program is kept beside it; a version that went live is kept for good.
func (h *scene) saveEdition(before, after assessment.Edition) error {
	programme := h.programme.ID
	if before.Revision == 0 {
		if err := h.keepVersion(before.ID, before.Version); err != nil {
			return err
		}
		return h.tx.CreateEdition(programme, after, h.now)
	}
	if err := h.tx.SaveEdition(programme, after, before.Revision, h.now); err != nil {
		return err
	}
	if after.LiveVersion <= before.LatestVersion {
		return nil
	}
	return h.tx.AddScenarioVersion(programme, store.ScenarioVersion{
		Scenario: after.Scenario, Author: competency.PersonID(after.Author()), ApprovedBy: competency.PersonID(after.Reviewer), KeptAt: h.now,
	})
}

// EditEdition replaces the text of a draft, which may be unfinished, by a scenario or its file. The error is strict.Faults about the
// text, ErrStale, ErrForbidden or a named one of assessment.
func (s *Service) EditEdition(ctx context.Context, actor Actor, programme competency.ProgrammeID, id assessment.ScenarioID, revision int, text EditionText) (EditionView, error) {
	return s.moveEdition(ctx, actor, programme, id, revision, editionMove{kind: "edit", action: policies.Edit, decide: func(e assessment.Edition) (assessment.Edition, error) {
		scenario, err := s.draftOf(text)
		if err != nil {
			return e, err
		}
		after, err := e.Edit(scenario, string(actor.Person))
		return after, under("scenario", err)
	}})
}

// SubmitEdition hands a draft to review. It must be without mistakes, and its answers must get the grades they should under the
// programme's scope policy in force: the error is then strict.Faults with all of them.
func (s *Service) SubmitEdition(ctx context.Context, actor Actor, programme competency.ProgrammeID, id assessment.ScenarioID, revision int) (EditionView, error) {
	decide := func(e assessment.Edition, check assessment.Check) (assessment.Edition, error) { return e.Submit(check) }
	return s.moveChecked(ctx, actor, programme, id, revision, editionMove{kind: "submit", action: policies.Submit}, decide)
}

// ReturnEdition hands an edition in review back with the reason.
func (s *Service) ReturnEdition(ctx context.Context, actor Actor, programme competency.ProgrammeID, id assessment.ScenarioID, revision int, reason string, overrides ...competency.Override) (EditionView, error) {
	return s.moveEdition(ctx, actor, programme, id, revision, editionMove{kind: "return", action: policies.Return, why: because{reason, overrides}, decide: func(e assessment.Edition) (assessment.Edition, error) {
		return e.Return(string(actor.Person), reason)
	}})
}

// ApproveEdition makes an edition in review live. Nobody approves what they wrote in. It is checked as for its submission, since the
// scope policy can have changed.
func (s *Service) ApproveEdition(ctx context.Context, actor Actor, programme competency.ProgrammeID, id assessment.ScenarioID, revision int) (EditionView, error) {
	decide := func(e assessment.Edition, check assessment.Check) (assessment.Edition, error) {
		return e.Approve(string(actor.Person), check)
	}
	return s.moveChecked(ctx, actor, programme, id, revision, editionMove{kind: "approve", action: policies.Approve}, decide)
}

// RetireEdition takes a scenario out of use in the programme with the reason. Its versions stay for those who answered them.
func (s *Service) RetireEdition(ctx context.Context, actor Actor, programme competency.ProgrammeID, id assessment.ScenarioID, revision int, reason string, overrides ...competency.Override) (EditionView, error) {
	return s.moveEdition(ctx, actor, programme, id, revision, editionMove{kind: "retire", action: policies.Retire, why: because{reason, overrides}, decide: func(e assessment.Edition) (assessment.Edition, error) {
		return e.Retire(reason)
	}})
}

// ReviseEdition begins the next version as a draft of what is live or was retired. What is live stays so meanwhile.
func (s *Service) ReviseEdition(ctx context.Context, actor Actor, programme competency.ProgrammeID, id assessment.ScenarioID, revision int) (EditionView, error) {
	return s.moveEdition(ctx, actor, programme, id, revision, editionMove{kind: "revise", action: policies.Create, decide: func(e assessment.Edition) (assessment.Edition, error) {
		return e.Revise(string(actor.Person))
	}})
}

// moveChecked is moveEdition for a move that needs the scenario checked with its answers graded. That takes long, so it is done before the
// transaction: the revision makes sure that it is of the same text. What the state refuses is told first.
func (s *Service) moveChecked(ctx context.Context, actor Actor, programme competency.ProgrammeID, id assessment.ScenarioID, revision int, m editionMove, decide func(assessment.Edition, assessment.Check) (assessment.Edition, error)) (EditionView, error) {
	var subject assessment.Edition
	var policy assessment.Policy
	err := s.read(ctx, actor, programme, func(h *scene) error {
		e, err := h.editionFor(id, revision, m.action)
		if err != nil {
			return err
		}
		if _, err := decide(e.Edition, assessment.Check{}); err != nil {
			return err
		}
		subject = e.Edition
		policy, err = h.policy()
		return err
	})
	if err != nil {
		return EditionView{}, err
	}
	check := s.checker(policy).Scenario(subject.ForReview())
	m.decide = func(e assessment.Edition) (assessment.Edition, error) {
		after, err := decide(e, check)
		if err = under("scenario", err); err != nil && check.Err() != nil && len(check.Answers) > 0 {
			err = fmt.Errorf("%w: %w", ErrAnswers, err)
		}
		return after, err
	}
	return s.moveEdition(ctx, actor, programme, id, revision, m)
}
