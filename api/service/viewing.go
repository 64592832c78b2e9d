package service

import (
	"context"
	"slices"

	"isthmus/api/store"
	"isthmus/competency"
	"isthmus/policies"
)

// Limits of what an external reviewer is let see.
const (
	MaxViewingDays  = 90 // from the day it is given, or from its first day when that is later
	mostViewed      = 100
	viewingRead     = "reviewer.read" // the act under which a reviewer's readings stand in the audit trail
	mostOpenedShown = 200
)

// opened is something of a trainee, or the cohort's figures, that an external reviewer was let read.
type opened struct {
	object policies.Object
	id     string
}

// loadViewing finds what the actor, as an external reviewer and nothing more, is let see today. Who reads every record by another role is none.
func (h *scene) loadViewing() error {
	if !h.is(policies.Reviewer) || h.may(policies.Cohort, policies.Read, policies.InProgramme) == nil {
		return nil
	}
	given, err := h.tx.ViewingOf(h.programme.ID, h.actor.Person)
	if err != nil {
		return err
	}
	if h.viewing = given; given == nil || given.Until < h.today {
		h.viewing = &store.Viewing{} // nothing at all
	}
	return nil
}

// viewed is how the actor stands to a trainee's records who is neither the trainee nor a supervisor: this alone decides what an external
// reviewer may read.
func (h *scene) viewed(trainee competency.PersonID) policies.Relation {
	if h.viewing != nil && slices.Contains(h.viewing.Trainees, trainee) {
		return policies.Reviewed
	}
	return policies.InProgramme
}

// mayRead is may for a record with an id. What only an external reviewer's invitation allows is noted, and logged once it was read.
func (h *scene) mayRead(object policies.Object, action policies.Action, relation policies.Relation, id string) error {
	if err := h.may(object, action, relation); err != nil {
		return err
	}
	if one := (opened{object, id}); relation == policies.Reviewed && !slices.Contains(h.opened, one) {
		h.opened = append(h.opened, one)
	}
	return nil
}

// logOpened writes what an external reviewer read in one request, an entry for each object. Nobody gets an answer that could not be logged.
func (s *Service) logOpened(ctx context.Context, actor Actor, programme competency.ProgrammeID, list []opened) error {
	if len(list) == 0 {
		return nil
	}
	changes := make([]store.AuditChange, len(list))
	for i, one := range list {
		changes[i] = store.AuditChange{Object: string(one.object), ID: one.id}
	}
	act := store.Act{Programme: programme, Actor: actor.Person, Name: viewingRead, RequestID: actor.RequestID, At: s.deps.Clock()}
	return s.deps.Store.Write(ctx, act, func(tx *store.Tx) error { return tx.AuditAll(changes) })
}

// giveViewing writes what a reviewer is let see from now on, with its audit entry.
func (s *Service) giveViewing(tx *store.Tx, v store.Viewing) error {
	before, err := tx.ViewingOf(v.Programme, v.Person)
	if err != nil {
		return err
	}
	v.ID, v.At = s.deps.NewID(), s.deps.Clock()
	if err := tx.AddViewing(v); err != nil {
		return err
	}
	if before == nil {
		return tx.Audit("viewing", string(v.Person), nil, v)
	}
	return tx.Audit("viewing", string(v.Person), before, v)
}

// setViewingEnd makes the new last day of a reviewer's role that of what they are let see too.
func (h *scene) setViewingEnd(person competency.PersonID, term store.RoleTerm) error {
	if policies.Role(term.Role) != policies.Reviewer {
		return nil
	}
	given, err := h.tx.ViewingOf(h.programme.ID, person)
	if err != nil || given == nil || given.Until == term.Until {
		return err
	}
	given.Until, given.By = term.Until, h.actor.Person
	return h.service.giveViewing(h.tx, *given)
}

// checkViewing finds what is wrong with what a role lets see: a reviewer's needs a choice and a last day, every other role has none.
func (h *scene) checkViewing(term store.RoleTerm) error {
	if policies.Role(term.Role) != policies.Reviewer {
		if term.Viewing != nil {
			return fault("viewing", "is chosen for a reviewer only: the other roles say themselves what they read")
		}
		return nil
	}
	if term.Viewing == nil {
		return fault("viewing", "choose trainees, figures or both: a reviewer sees nothing else")
	}
	if err := h.checkReviewerEnd(term); err != nil {
		return err
	}
	return under("viewing", h.checkChoice(*term.Viewing))
}

// checkReviewerEnd refuses a reviewer's role without a last day, or with one too far off.
func (h *scene) checkReviewerEnd(term store.RoleTerm) error {
	latest := max(term.From, h.today).Add(MaxViewingDays)
	if policies.Role(term.Role) == policies.Reviewer && (term.Until == "" || term.Until > latest) {
		return fault("until", "must be a day up to %s: a reviewer's last day is at most %d days off", latest, MaxViewingDays)
	}
	return nil
}

// checkChoice checks the trainees and the figures of a choice.
func (h *scene) checkChoice(choice store.ViewingChoice) error {
	switch {
	case choice.Figures != store.FiguresNone && choice.Figures != store.FiguresCounts && choice.Figures != store.FiguresRows:
		return fault("figures", "must be counts, rows, or left out")
	case len(choice.Trainees) == 0 && choice.Figures == store.FiguresNone:
		return fault("trainees", "choose trainees, figures or both")
	case len(choice.Trainees) > mostViewed:
		return fault("trainees", "must be at most %d", mostViewed)
	}
	for i, trainee := range choice.Trainees {
		if _, err := h.traineeSince(trainee); err != nil || slices.Contains(choice.Trainees[:i], trainee) {
			return fault("trainees", "must each be a trainee of the programme, once")
		}
	}
	return nil
}

// withoutViewings is terms for whoever holds the link and is nobody yet: whose records they are about is told to members only.
func withoutViewings(terms []store.RoleTerm) []store.RoleTerm {
	bare := slices.Clone(terms)
	for i := range bare {
		bare[i].Viewing = nil
	}
	return bare
}
