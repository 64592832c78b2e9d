package service

import (
	"cmp"
	"context"
	"slices"

	"isthmus/api/store"
	"isthmus/competency"
	"isthmus/policies"
)

// GiveRole gives a member, present or former, one more role for a period; it begins today when no first day is given. The error is
// strict.Faults, ErrOwnRoles, ErrForbidden or ErrNotFound.
func (s *Service) GiveRole(ctx context.Context, actor Actor, programme competency.ProgrammeID, person competency.PersonID, term store.RoleTerm) (MemberRecord, error) {
	return s.changeMember(ctx, actor, programme, "membership.add", person, func(h *scene, member MemberRecord) error {
		if err := h.mayGive(term.Role, policies.Create); err != nil {
			return err
		}
		if !member.Deactivated.IsZero() {
			return fault("person", "is deactivated: let them in again first")
		}
		if term.From == "" {
			term.From = h.today
		}
		if err := cmp.Or(checkTerm(term, member.Roles), h.checkViewing(term)); err != nil {
			return err
		}
		return h.addTerm(person, term)
	})
}

// SetRoleEnd sets the last day of a role that begins on term.From; an empty one leaves it open. Ending is setting a day that has come.
func (s *Service) SetRoleEnd(ctx context.Context, actor Actor, programme competency.ProgrammeID, person competency.PersonID, term store.RoleTerm) (MemberRecord, error) {
	return s.changeMember(ctx, actor, programme, "membership.period", person, func(h *scene, member MemberRecord) error {
		if err := h.mayGive(term.Role, policies.Edit); err != nil {
			return err
		}
		others := termsBut(member.Roles, term)
		if len(others) == len(member.Roles) {
			return ErrNotFound
		}
		if err := cmp.Or(checkTerm(term, others), h.checkReviewerEnd(term)); err != nil {
			return err
		}
		if err := h.setTermEnd(person, member.Roles, term); err != nil {
			return err
		}
		return h.setViewingEnd(person, term)
	})
}

// Deactivate keeps a member out from now on. Roles in force end today, everything done stays. Who belongs to no other programme cannot
// sign in any more: sessions and tokens end at once.
func (s *Service) Deactivate(ctx context.Context, actor Actor, programme competency.ProgrammeID, person competency.PersonID) (MemberRecord, error) {
	return s.changeMember(ctx, actor, programme, "member.deactivate", person, func(h *scene, member MemberRecord) error {
		if err := h.mayKeepOut(member.Roles); err != nil {
			return err
		}
		return h.deactivate(member)
	})
}

// Reactivate lets a member in again; the roles that ended stay ended and can be given anew.
func (s *Service) Reactivate(ctx context.Context, actor Actor, programme competency.ProgrammeID, person competency.PersonID) (MemberRecord, error) {
	return s.changeMember(ctx, actor, programme, "member.reactivate", person, func(h *scene, member MemberRecord) error {
		if err := h.mayKeepOut(member.Roles); err != nil {
			return err
		}
		if member.Deactivated.IsZero() {
			return fault("person", "is not deactivated")
		}
		if err := h.tx.LiftDeactivation(programme, person); err != nil {
			return err
		}
		return h.tx.Audit("member", string(person), member.Deactivated, nil)
	})
}

// changeMember is an act on another member's roles or way in.
func (s *Service) changeMember(ctx context.Context, actor Actor, programme competency.ProgrammeID, name string, person competency.PersonID, act func(*scene, MemberRecord) error) (MemberRecord, error) {
	var changed MemberRecord
	err := s.write(ctx, actor, programme, name, func(h *scene) error {
		if err := h.may(policies.Membership, policies.Edit, policies.InProgramme); err != nil {
			return err
		}
		member, err := h.member(person)
		if err != nil {
			return err
		}
		if person == actor.Person {
			return ErrOwnRoles
		}
		if err := act(h, member); err != nil {
			return err
		}
		changed, err = h.member(person)
		return err
	})
	return changed, err
}

// deactivate ends the roles in force and writes that the member is kept out; who is shut by that is signed out everywhere.
func (h *scene) deactivate(member MemberRecord) error {
	if !member.Deactivated.IsZero() {
		return fault("person", "is deactivated already")
	}
	for _, term := range member.Roles {
		if term.From > h.today || term.Until != "" && term.Until <= h.today {
			continue
		}
		term.Until = h.today
		if err := h.setTermEnd(member.ID, member.Roles, term); err != nil {
			return err
		}
	}
	row := store.Deactivation{ID: h.service.deps.NewID(), Programme: h.programme.ID, Person: member.ID, By: h.actor.Person, At: h.now}
	if err := h.tx.Deactivate(row); err != nil {
		return err
	}
	shut, err := h.tx.Shut(member.ID, h.today, h.now)
	if err == nil && shut {
		err = h.tx.EndSignIns(member.ID)
	}
	if err != nil {
		return err
	}
	return h.tx.Audit("member", string(member.ID), nil, row)
}

// addTerm adds a checked role with its audit entry.
func (h *scene) addTerm(person competency.PersonID, term store.RoleTerm) error {
	m := store.Membership{Programme: h.programme.ID, Person: person, Role: term.Role, From: term.From, Until: term.Until}
	if err := h.tx.AddMembership(m); err != nil {
		return err
	}
	if err := h.tx.Audit("membership", string(person), nil, m); err != nil || term.Viewing == nil {
		return err
	}
	return h.service.giveViewing(h.tx, store.Viewing{Programme: h.programme.ID, Person: person, ViewingChoice: *term.Viewing, Until: term.Until, By: h.actor.Person})
}

// setTermEnd changes the last day of a role with its audit entry.
func (h *scene) setTermEnd(person competency.PersonID, had []store.RoleTerm, term store.RoleTerm) error {
	m := store.Membership{Programme: h.programme.ID, Person: person, Role: term.Role, From: term.From, Until: term.Until}
	before := m
	for _, old := range had {
		if old.Role == term.Role && old.From == term.From {
			before.Until = old.Until
		}
	}
	if err := h.tx.SetMembershipEnd(m); err != nil {
		return err
	}
	return h.tx.Audit("membership", string(person), before, m)
}

// termsBut are the terms but the one of the same role and first day.
func termsBut(terms []store.RoleTerm, term store.RoleTerm) []store.RoleTerm {
	return slices.DeleteFunc(slices.Clone(terms), func(had store.RoleTerm) bool { return had.Role == term.Role && had.From == term.From })
}

// checkTerm finds what is wrong with a role's period beside the others of the person; an empty first day is that of taking it up.
func checkTerm(term store.RoleTerm, others []store.RoleTerm) error {
	if err := checkPeriod(term.From, term.Until); err != nil {
		return err
	}
	for _, other := range others {
		if other.Role != term.Role || term.From == "" && other.From == "" {
			continue
		}
		if overlap(term.From, term.Until, other.From, other.Until) {
			return fault("from", "the role %s is held from %s already: change that one, or choose days outside it", term.Role, other.From)
		}
	}
	return nil
}

// checkPeriod finds days that the calendar does not have, and a last one before the first.
func checkPeriod(from, until competency.Day) error {
	if from != "" {
		if _, err := competency.ParseDay(string(from)); err != nil {
			return fault("from", "%v", err)
		}
	}
	if until == "" {
		return nil
	}
	if _, err := competency.ParseDay(string(until)); err != nil {
		return fault("until", "%v", err)
	}
	if until < from {
		return fault("until", "must not be before the first day, %s", from)
	}
	return nil
}

// overlap reports whether two stretches of days, both included, have a day in common; an empty last day means for ever.
func overlap(from, until, from2, until2 competency.Day) bool {
	return (until2 == "" || from <= until2) && (until == "" || from2 <= until)
}
