package service

import (
	"context"
	"errors"
	"time"

	"isthmus/api/store"
	"isthmus/competency"
	"isthmus/policies"
)

// textPlace is an object with free text of somebody's.
type textPlace struct {
	object, id string
	within     string // the part of a request that its fields stand in, for example record; empty: the request itself
}

// freeText is a text in a field of a place.
type freeText struct{ field, text string }

// kept are the findings of the privacy screen that may stay in a place: those that a request overrides with a reason, and those that
// stood in the texts before, with an override on record. Every place that takes free text asks it before it screens, and saveKept
// once the text is saved. The error is strict.Faults about the overrides.
func (h *scene) kept(at textPlace, overrides []competency.Override, before ...freeText) ([]competency.Override, error) {
	if err := competency.CheckOverrides(overrides).Err(); err != nil {
		return nil, err
	}
	var kept []competency.Override
	for _, was := range before {
		if was.text == "" {
			continue
		}
		kinds, err := h.tx.OverrideKinds(h.programme.ID, at.object, at.id, was.field)
		if err != nil {
			return nil, err
		}
		kept = append(kept, competency.Kept(was.field, was.text, kinds)...)
	}
	if at.within != "" {
		overrides = competency.Within(at.within, overrides)
	}
	return append(kept, overrides...), nil
}

// saveKept puts on record, with an audit entry each, what the texts of a place keep and did not keep before. Neither holds a word of the
// texts. What a request overrides beyond that is no longer in them, and is passed over.
func (h *scene) saveKept(at textPlace, kept []competency.Override, now ...freeText) error {
	for _, is := range now {
		for _, o := range competency.Used(is.field, is.text, kept) {
			if o.Reason == "" { // it stood there before
				continue
			}
			row := store.Override{
				ID: h.service.deps.NewID(), Programme: h.programme.ID, Object: at.object, ObjectID: at.id, Field: is.field, Kind: o.Kind, Reason: o.Reason,
				By: h.actor.Person, At: h.now,
			}
			if err := h.tx.AddOverride(row); err != nil {
				return err
			}
			if err := h.tx.Audit("override", row.ID, nil, row); err != nil {
				return err
			}
		}
	}
	return nil
}

// because is why somebody does what needs a reason, with what the privacy screen may leave in it.
type because struct {
	reason    string
	overrides []competency.Override
}

// screened does an act whose reason may hold what the actor keeps with a reason of its own, and puts that on record. The error is
// strict.Faults about the reason, or the act's own.
func (h *scene) screened(at textPlace, why because, do func() error) error {
	kept, err := h.kept(at, why.overrides)
	if err != nil {
		return err
	}
	if err := screenKept("reason", why.reason, maxNote, kept); err != nil {
		return err
	}
	if err := do(); err != nil {
		return err
	}
	return h.saveKept(at, kept, freeText{"reason", why.reason})
}

// ErrOwnOverride refuses a review by whoever made the override.
var ErrOwnOverride = errors.New("nobody reviews an override of their own: another director does")

// OverrideView is an override for its reviewer. The words are read in their place.
type OverrideView struct {
	ID         string              `json:"id"`
	Object     string              `json:"object" doc:"What the text belongs to: case, plan, sitting, edition, question, test, panel, follow-up."`
	ObjectID   string              `json:"object_id"`
	Case       competency.CaseID   `json:"case,omitempty" doc:"The case that a follow-up belongs to."`
	Field      string              `json:"field"`
	Kind       string              `json:"kind" doc:"What the words look like: name or address."`
	Reason     string              `json:"reason"`
	By         competency.PersonID `json:"by"`
	ByName     string              `json:"by_name"`
	At         time.Time           `json:"at"`
	SeenBy     competency.PersonID `json:"seen_by,omitempty" doc:"Absent until somebody has looked at it."`
	SeenByName string              `json:"seen_by_name,omitempty"`
	SeenAt     time.Time           `json:"seen_at,omitzero"`
	May        []string            `json:"may"` // review
}

func (h *scene) viewOfOverride(o store.Override) (OverrideView, error) {
	view := OverrideView{
		ID: o.ID, Object: o.Object, ObjectID: o.ObjectID, Field: o.Field, Kind: o.Kind, Reason: o.Reason, By: o.By, ByName: o.ByName, At: o.At,
		SeenBy: o.SeenBy, SeenByName: o.SeenByName, SeenAt: o.SeenAt, May: []string{},
	}
	if o.SeenBy == "" && o.By != h.actor.Person && h.may(policies.Override, policies.Review, policies.InProgramme) == nil {
		view.May = append(view.May, string(policies.Review))
	}
	if o.Object != "follow-up" {
		return view, nil
	}
	of, err := h.tx.FollowUpByID(h.programme.ID, competency.FollowUpID(o.ObjectID))
	view.Case = of.Case
	return view, err
}

// Overrides lists what was let past the privacy screen, newest first; waiting leaves in only what nobody has looked at.
func (s *Service) Overrides(ctx context.Context, actor Actor, programme competency.ProgrammeID, waiting bool, page store.Page) (List[OverrideView], error) {
	list := List[OverrideView]{Items: []OverrideView{}}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.may(policies.Override, policies.List, policies.InProgramme); err != nil {
			return err
		}
		rows, next, err := h.tx.Overrides(programme, waiting, page)
		if err != nil {
			return err
		}
		list.Items, list.Next = make([]OverrideView, len(rows)), next
		for i, row := range rows {
			if list.Items[i], err = h.viewOfOverride(row); err != nil {
				return err
			}
		}
		return nil
	})
	return list, err
}

// ReviewOverride notes that the actor has looked at an override. The error is ErrOwnOverride, ErrDuplicate when somebody did before,
// ErrNotFound or ErrForbidden.
func (s *Service) ReviewOverride(ctx context.Context, actor Actor, programme competency.ProgrammeID, id string) (OverrideView, error) {
	var view OverrideView
	err := s.write(ctx, actor, programme, "override.review", func(h *scene) error {
		if err := h.may(policies.Override, policies.Review, policies.InProgramme); err != nil {
			return err
		}
		before, err := h.tx.OverrideByID(programme, id)
		if err != nil {
			return err
		}
		if before.By == actor.Person {
			return ErrOwnOverride
		}
		if err := h.tx.AddOverrideReview(programme, id, actor.Person, h.now); err != nil {
			return err
		}
		after, err := h.tx.OverrideByID(programme, id)
		if err != nil {
			return err
		}
		if view, err = h.viewOfOverride(after); err != nil {
			return err
		}
		return h.tx.Audit("override", id, before, after)
	})
	return view, err
}
