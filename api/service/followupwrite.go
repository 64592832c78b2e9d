package service

import (
	"context"

	"isthmus/api/store"
	"isthmus/competency"
	"isthmus/policies"
)

// NewFollowUp is a follow-up to record. The id or the key, when given, makes a resend harmless; the id is a uuid v7 that the client made.
type NewFollowUp struct {
	ID             competency.FollowUpID `json:"id,omitempty"`
	Case           competency.CaseID     `json:"case"`
	FollowUp       competency.FollowUp   `json:"follow_up"`
	IdempotencyKey string                `json:"-"`
	Overrides      []competency.Override `json:"overrides,omitempty"` // of what the privacy screen finds in follow_up.note
}

// AddFollowUp records a follow-up of a submitted case and judges it by the programme's rule. A case key in it becomes the actor's key to
// the case and is not kept with the follow-up. The error is strict.Faults, ErrNotFollowed, ErrDuplicate when the id names something else,
// ErrKeyReused, ErrNotFound or ErrForbidden.
func (s *Service) AddFollowUp(ctx context.Context, actor Actor, programme competency.ProgrammeID, in NewFollowUp) (FollowUpView, error) {
	o, err := onceNamed(string(in.ID), in.IdempotencyKey, "follow-up.create", programme, in)
	if err != nil {
		return FollowUpView{}, err
	}
	var view FollowUpView
	check := func(h *scene) error {
		_, err := h.followedCase(in.Case, policies.Create)
		return err
	}
	load := func(h *scene, id string) (err error) {
		view, err = h.followUpByID(in.Case, competency.FollowUpID(id))
		return err
	}
	err = s.create(ctx, actor, programme, o, check, load, func() error {
		return s.write(ctx, actor, programme, "follow-up.create", func(h *scene) error {
			c, err := h.followedCase(in.Case, policies.Create)
			if err != nil {
				return err
			}
			row := store.FollowUp{ID: competency.FollowUpID(o.newID(s)), Case: c.ID, Version: 1, Content: in.FollowUp}
			if err := o.remember(h, string(row.ID)); err != nil {
				return err
			}
			if err := h.saveFollowUp(c, nil, row, in.Overrides); err != nil {
				return err
			}
			view, err = h.followUpByID(c.ID, row.ID)
			return err
		})
	})
	return view, err
}

// Amendment is what a follow-up should say instead, and why.
type Amendment struct {
	FollowUp  competency.FollowUp
	Reason    string
	Overrides []competency.Override // of what the privacy screen finds in follow_up.note or reason
}

// AmendFollowUp adds a version to a follow-up whose newest one the actor saw, and judges it by the rule of today; the versions before
// stay. The error is strict.Faults, competency.ErrReasonMissing, ErrStale, ErrNotFollowed, ErrNotFound or ErrForbidden.
func (s *Service) AmendFollowUp(ctx context.Context, actor Actor, programme competency.ProgrammeID, of competency.CaseID, id competency.FollowUpID, seen int, in Amendment) (FollowUpView, error) {
	var view FollowUpView
	err := s.write(ctx, actor, programme, "follow-up.amend", func(h *scene) error {
		c, err := h.followedCase(of, policies.Edit)
		if err != nil {
			return err
		}
		before, err := h.tx.FollowUpByID(programme, id)
		switch {
		case err != nil:
			return err
		case before.Case != of:
			return missing("follow-up")
		case before.Version != seen:
			return ErrStale
		}
		if in.Reason == "" {
			return competency.ErrReasonMissing
		}
		row := store.FollowUp{ID: id, Case: of, Version: seen + 1, Content: in.FollowUp, Reason: in.Reason}
		if err := h.saveFollowUp(c, &before, row, in.Overrides); err != nil {
			return err
		}
		view, err = h.followUpByID(of, id)
		return err
	})
	return view, err
}

// saveFollowUp checks, judges, saves and audits a version; before is the one it takes the place of, nil for a first one.
func (h *scene) saveFollowUp(c competency.Case, before *store.FollowUp, row store.FollowUp, overrides []competency.Override) error {
	if !followed(c) {
		return ErrNotFollowed
	}
	var was []freeText
	if before != nil {
		was = append(was, freeText{"note", before.Content.Note})
	}
	note := textPlace{object: "follow-up", id: string(row.ID), within: "follow_up"}
	kept, err := h.kept(note, overrides, was...)
	if err != nil {
		return err
	}
	if err := row.Content.Validate(kept...).Err(); err != nil {
		return under("follow_up", err)
	}
	reason := textPlace{object: "follow-up", id: string(row.ID)}
	keptReason, err := h.kept(reason, overrides)
	if err != nil {
		return err
	}
	if before != nil {
		if err := competency.CheckReason(row.Reason, keptReason...); err != nil {
			return err
		}
	}
	if err := h.checkMonth(c, row.Content, row.ID); err != nil {
		return err
	}
	if key := row.Content.CaseKey; key != "" {
		if err := h.saveCaseKey(c.ID, key); err != nil {
			return err
		}
	}
	rule := h.programme.Settings.FollowUp
	row.Content.CaseKey = ""
	row.Content.Repeat = append([]string{}, row.Content.Repeat...)
	row.Programme, row.By, row.At, row.RuleVersion = h.programme.ID, h.actor.Person, h.now, rule.Version
	row.Freedom, row.FreedomReason = rule.Judge(row.Content)
	if err := h.tx.AddFollowUp(row); err != nil {
		return err
	}
	if err := h.saveKept(note, kept, freeText{"note", row.Content.Note}); err != nil {
		return err
	}
	if err := h.saveKept(reason, keptReason, freeText{"reason", row.Reason}); err != nil {
		return err
	}
	if before == nil {
		return h.tx.Audit("follow-up", string(row.ID), nil, row)
	}
	return h.tx.Audit("follow-up", string(row.ID), *before, row)
}
