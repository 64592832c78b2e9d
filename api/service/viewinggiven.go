package service

import (
	"cmp"
	"context"
	"time"

	"isthmus/api/store"
	"isthmus/competency"
	"isthmus/policies"
)

// ViewingGiven is what a reviewer is let see, and until when.
type ViewingGiven struct {
	Trainees []PersonRef    `json:"trainees"`
	Figures  string         `json:"figures,omitempty"` // counts, rows; absent for none
	Until    competency.Day `json:"until,omitempty"`   // last day, included; absent when nothing was ever chosen
	Ended    bool           `json:"ended"`             // nothing may be seen today
}

// OwnViewing is what the actor may see as an external reviewer, and until when. The error is ErrForbidden for who is none.
func (s *Service) OwnViewing(ctx context.Context, actor Actor, programme competency.ProgrammeID) (ViewingGiven, error) {
	var given ViewingGiven
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.may(policies.Viewing, policies.Read, policies.Own); err != nil {
			return err
		}
		own, err := h.viewingGiven(actor.Person)
		if err == nil {
			given = *own
		}
		if given.Ended { // whose records they were is no longer theirs to know
			given.Trainees, given.Figures = []PersonRef{}, store.FiguresNone
		}
		return err
	})
	return given, err
}

// viewingGiven is what a reviewer was let see last.
func (h *scene) viewingGiven(person competency.PersonID) (*ViewingGiven, error) {
	row, err := h.tx.ViewingOf(h.programme.ID, person)
	if err != nil || row == nil {
		return &ViewingGiven{Trainees: []PersonRef{}, Ended: true}, err
	}
	given := &ViewingGiven{Trainees: make([]PersonRef, len(row.Trainees)), Figures: row.Figures, Until: row.Until, Ended: row.Until < h.today}
	for i, trainee := range row.Trainees {
		if given.Trainees[i], err = h.personRef(trainee); err != nil {
			return nil, err
		}
	}
	return given, nil
}

// SetViewing replaces what a reviewer is let see, and makes its last day that of the role in force or to come. The error is strict.Faults,
// ErrOwnRoles, ErrForbidden or ErrNotFound.
func (s *Service) SetViewing(ctx context.Context, actor Actor, programme competency.ProgrammeID, person competency.PersonID, choice store.ViewingChoice, until competency.Day) (MemberRecord, error) {
	return s.changeMember(ctx, actor, programme, "viewing.set", person, func(h *scene, member MemberRecord) error {
		if err := h.may(policies.Viewing, policies.Edit, policies.InProgramme); err != nil {
			return err
		}
		for _, term := range member.Roles {
			if policies.Role(term.Role) != policies.Reviewer || term.Until != "" && term.Until < h.today {
				continue
			}
			term.Until, term.Viewing = until, &choice
			if err := cmp.Or(checkTerm(term, termsBut(member.Roles, term)), h.checkViewing(term)); err != nil {
				return err
			}
			if err := h.setTermEnd(person, member.Roles, term); err != nil {
				return err
			}
			return s.giveViewing(h.tx, store.Viewing{Programme: programme, Person: person, ViewingChoice: choice, Until: until, By: actor.Person})
		}
		return fault("person", "is no reviewer today or later: give the role first")
	})
}

// Reading is one thing a reviewer read.
type Reading struct {
	At      time.Time       `json:"at"`
	Object  policies.Object `json:"object"`
	ID      string          `json:"id"`
	Trainee *PersonRef      `json:"trainee,omitempty"` // whose it is; absent for the cohort's figures
}

// Readings lists what a reviewer read, newest first, the last 200 readings: one for each request and object.
func (s *Service) Readings(ctx context.Context, actor Actor, programme competency.ProgrammeID, person competency.PersonID) (List[Reading], error) {
	list := List[Reading]{Items: []Reading{}}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.may(policies.Viewing, policies.List, policies.InProgramme); err != nil {
			return err
		}
		if _, err := h.member(person); err != nil {
			return err
		}
		entries, err := h.tx.EntriesOf(programme, person, viewingRead, mostOpenedShown)
		if err != nil {
			return err
		}
		list.Items = make([]Reading, len(entries))
		for i, entry := range entries {
			list.Items[i] = Reading{At: entry.At, Object: policies.Object(entry.Object), ID: entry.ObjectID}
			if list.Items[i].Trainee, err = h.ownerOf(list.Items[i]); err != nil {
				return err
			}
		}
		return nil
	})
	return list, err
}

// ownerOf is the trainee whose record was read; nil for the figures.
func (h *scene) ownerOf(one Reading) (*PersonRef, error) {
	trainee := competency.PersonID(one.ID)
	switch one.Object {
	case policies.Figures:
		return nil, nil
	case policies.Case, policies.FollowUp:
		c, err := h.tx.CaseByID(h.programme.ID, competency.CaseID(one.ID))
		if err != nil {
			return nil, err
		}
		trainee = c.Trainee
	case policies.Plan:
		row, err := h.tx.PlanByID(h.programme.ID, competency.PlanID(one.ID))
		if err != nil {
			return nil, err
		}
		trainee = row.Trainee
	}
	owner, err := h.personRef(trainee)
	return &owner, err
}
