package service

import (
	"context"

	"isthmus/api/store"
	"isthmus/competency"
	"isthmus/policies"
)

// move is one act on an existing case: what it is to the policies, how the domain decides it, and what else is saved once the case is.
type move struct {
	action policies.Action
	reason string
	decide func(*scene, competency.Case) (competency.Case, error)
	also   func(*scene, competency.Case) error // nil: nothing
}

// moveCase authorises a move, checks that the case is still at the revision the actor saw, decides, and saves with the audit entry.
func (s *Service) moveCase(ctx context.Context, actor Actor, programme competency.ProgrammeID, id competency.CaseID, revision int, m move) (CaseDetail, error) {
	var detail CaseDetail
	err := s.write(ctx, actor, programme, "case."+string(m.action), func(h *scene) error {
		before, err := h.caseFor(id, revision, m.action)
		if err != nil {
			return err
		}
		after, err := m.decide(h, before)
		if err != nil {
			return err
		}
		if err := h.tx.SaveCase(after, revision); err != nil {
			return err
		}
		if m.also != nil {
			if err := m.also(h, after); err != nil {
				return err
			}
		}
		if m.action != policies.Edit {
			act := store.Done{Kind: string(m.action), By: actor.Person, At: h.now, Reason: m.reason, Version: after.Version}
			if err := h.tx.AddCaseAct(programme, id, act); err != nil {
				return err
			}
		}
		if err := h.tx.Audit("case", string(id), before, after); err != nil {
			return err
		}
		detail, err = h.detail(after)
		return err
	})
	return detail, err
}

// caseFor loads a case for a move: ErrForbidden before ErrStale, so that nobody learns of changes they may not
// see. Whoever may read the case learns first what happened to it: the act was allowed before.
func (h *scene) caseFor(id competency.CaseID, revision int, action policies.Action) (competency.Case, error) {
	c, err := h.tx.CaseByID(h.programme.ID, id)
	if err != nil {
		return competency.Case{}, err
	}
	if err := h.mayCase(c, action); err != nil {
		if c.Revision != revision && h.mayCase(c, policies.Read) == nil {
			return competency.Case{}, h.meanwhile(c)
		}
		return competency.Case{}, err
	}
	if c.Revision != revision {
		return competency.Case{}, h.meanwhile(c)
	}
	return c, nil
}

// EditCase replaces the record of a draft or a returned case. The error is strict.Faults, ErrStale, ErrForbidden or a named one of
// competency.
func (s *Service) EditCase(ctx context.Context, actor Actor, programme competency.ProgrammeID, id competency.CaseID, revision int, record competency.Record, overrides ...competency.Override) (CaseDetail, error) {
	at := recordOf(id)
	var kept []competency.Override
	decide := func(h *scene, c competency.Case) (after competency.Case, err error) {
		if kept, err = h.kept(at, overrides, noteOf(c)); err != nil {
			return c, err
		}
		if after, err = competency.EditDraft(c, record, h.programme.Settings, h.now, kept...); err != nil {
			return c, under("record", err)
		}
		return after, h.checkRecord(after.Record, false)
	}
	also := func(h *scene, after competency.Case) error { return h.saveKept(at, kept, noteOf(after)) }
	return s.moveCase(ctx, actor, programme, id, revision, move{action: policies.Edit, decide: decide, also: also})
}

// SubmitCase closes a draft or a returned case as its next version and hands it to the supervisor. What the program computes is
// computed before the transaction: the revision makes sure that it is of the same record.
func (s *Service) SubmitCase(ctx context.Context, actor Actor, programme competency.ProgrammeID, id competency.CaseID, revision int) (CaseDetail, error) {
	var computed competency.Computed
	err := s.read(ctx, actor, programme, func(h *scene) error {
		c, err := h.caseFor(id, revision, policies.Submit)
		if err != nil {
			return err
		}
		if err := h.noOpenTest(); err != nil { // what is computed of a case tells what its lesions do
			return err
		}
		if _, err := h.submitted(c, competency.Computed{}); err != nil {
			return err
		}
		policy, err := h.policy()
		if err != nil {
			return err
		}
		computed, err = s.compute(c.Record, h.programme.Settings.RoleRule, policy)
		return err
	})
	if err != nil {
		return CaseDetail{}, err
	}
	decide := func(h *scene, c competency.Case) (competency.Case, error) {
		after, err := h.submitted(c, computed)
		if err != nil {
			return c, err
		}
		return after, h.checkRecord(after.Record, true)
	}
	also := func(h *scene, after competency.Case) error { return h.tx.AddCaseVersion(after) }
	return s.moveCase(ctx, actor, programme, id, revision, move{action: policies.Submit, decide: decide, also: also})
}

// submitted is a case handed to its supervisor. What its note keeps was kept when it was saved.
func (h *scene) submitted(c competency.Case, computed competency.Computed) (competency.Case, error) {
	kept, err := h.kept(recordOf(c.ID), nil, noteOf(c))
	if err != nil {
		return c, err
	}
	after, err := competency.Submit(c, computed, h.programme.Settings, h.now, kept...)
	return after, under("record", err)
}

// recordOf is a case's record as a place of free text, and noteOf the text.
func recordOf(id competency.CaseID) textPlace {
	return textPlace{object: "case", id: string(id), within: "record"}
}
func noteOf(c competency.Case) freeText { return freeText{"note", c.Record.Note} }

// withReason is a move that needs a reason, which is free text too.
func withReason(id competency.CaseID, action policies.Action, reason string, overrides []competency.Override, decide func(*scene, competency.Case, []competency.Override) (competency.Case, error)) move {
	at := textPlace{object: "case", id: string(id)}
	var kept []competency.Override
	return move{
		action: action, reason: reason,
		decide: func(h *scene, c competency.Case) (after competency.Case, err error) {
			if kept, err = h.kept(at, overrides); err != nil {
				return c, err
			}
			return decide(h, c, kept)
		},
		also: func(h *scene, _ competency.Case) error { return h.saveKept(at, kept, freeText{"reason", reason}) },
	}
}

// ReturnCase hands a submitted case back to the trainee with the reason.
func (s *Service) ReturnCase(ctx context.Context, actor Actor, programme competency.ProgrammeID, id competency.CaseID, revision int, reason string, overrides ...competency.Override) (CaseDetail, error) {
	decide := func(h *scene, c competency.Case, kept []competency.Override) (competency.Case, error) {
		return competency.Return(c, actor.Person, reason, h.now, kept...)
	}
	return s.moveCase(ctx, actor, programme, id, revision, withReason(id, policies.Return, reason, overrides, decide))
}

// WithdrawCase takes a case out of the evidence with the reason; the record stays. One that is being amended stands as it was signed.
func (s *Service) WithdrawCase(ctx context.Context, actor Actor, programme competency.ProgrammeID, id competency.CaseID, revision int, reason string, overrides ...competency.Override) (CaseDetail, error) {
	decide := func(h *scene, c competency.Case, kept []competency.Override) (competency.Case, error) {
		if c.Amending() {
			signed, err := h.versionOf(c.ID, c.SignedVersion)
			if err != nil {
				return c, err
			}
			c = c.AsSigned(signed)
		}
		return competency.Withdraw(c, reason, h.now, kept...)
	}
	return s.moveCase(ctx, actor, programme, id, revision, withReason(id, policies.Withdraw, reason, overrides, decide))
}

// SignOffCase signs a submitted case with what the supervisor saw.
func (s *Service) SignOffCase(ctx context.Context, actor Actor, programme competency.ProgrammeID, id competency.CaseID, revision int, statement competency.Statement, overrides ...competency.Override) (CaseDetail, error) {
	at := textPlace{object: "case", id: string(id)}
	var signed competency.SignOff
	var kept []competency.Override
	decide := func(h *scene, c competency.Case) (after competency.Case, err error) {
		signer := competency.Signer{ID: actor.Person}
		if signer.Faculty, err = h.tx.Terms(programme, actor.Person, string(policies.Faculty)); err != nil {
			return c, err
		}
		if signer.Name, err = h.name(actor.Person); err != nil {
			return c, err
		}
		signer.ProvedAt = actor.ProvedAt
		if signer.Before, err = h.signatureOn(c.ID, c.SignedVersion); err != nil {
			return c, err
		}
		if kept, err = h.kept(at, overrides); err != nil {
			return c, err
		}
		after, signed, err = competency.SignOffCase(c, signer, statement, h.programme.Settings, h.now, kept...)
		if err == nil {
			err = competency.CheckProof(actor.ProvedAt, h.programme.Settings, h.now)
		}
		signed.ID = competency.SignOffID(s.deps.NewID())
		return after, err
	}
	also := func(h *scene, _ competency.Case) error {
		if err := h.saveKept(at, kept, freeText{"keep", statement.Keep}, freeText{"change", statement.Change}); err != nil {
			return err
		}
		return h.tx.AddSignOff(programme, signed)
	}
	return s.moveCase(ctx, actor, programme, id, revision, move{action: policies.SignOff, decide: decide, also: also})
}
