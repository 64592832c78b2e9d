package service

import (
	"context"
	"errors"
	"strings"
	"time"

	"isthmus/api/signin"
	"isthmus/api/store"
	"isthmus/competency"
)

// What an act on members and invitations can be refused for besides.
var (
	ErrOwnRoles   = errors.New("nobody changes their own roles: another director or coordinator does")
	ErrInvitation = errors.New("the link is not good, or not any more: it works once, until its last day. Ask whoever invited you for a new one")
	ErrHasAccount = errors.New("there is an account with this e-mail address: sign in with it, then open the link again and accept")
	ErrOtherLogin = errors.New("you are signed in with another e-mail address than the one invited: sign out, then open the link again")
)

// Invited is what whoever holds a good link sees of the invitation.
type Invited struct {
	ProgrammeName string           `json:"programme_name"`
	Email         string           `json:"email"`
	Name          string           `json:"name"`
	Roles         []store.RoleTerm `json:"roles"`
	ExpiresAt     time.Time        `json:"expires_at"`
	HasAccount    bool             `json:"has_account"` // there is an account with the address: sign in with it
}

// Acceptance is what accepting takes. Who is signed in accepts with the account they have, and name and password are not looked at.
type Acceptance struct {
	Secret       string
	Person       competency.PersonID // who is signed in; empty: nobody
	Name         string
	PasswordHash string
	RequestID    string
}

// Accepted is what came of it.
type Accepted struct {
	Programme competency.ProgrammeID `json:"programme"`
	Email     string                 `json:"email"`
}

// InvitationBehind shows the open invitation behind a link's secret. The error is ErrInvitation, the same whatever is the matter.
func (s *Service) InvitationBehind(ctx context.Context, secret string) (Invited, error) {
	var invited Invited
	err := s.deps.Store.Read(ctx, func(tx *store.Tx) error {
		row, err := s.openInvitation(tx, secret)
		if err != nil {
			return err
		}
		programme, err := tx.ProgrammeByID(row.Programme)
		if err != nil {
			return err
		}
		_, err = tx.PersonByEmail(row.Email)
		if err != nil && !errors.Is(err, ErrNotFound) {
			return err
		}
		invited = Invited{programme.Name, row.Email, row.Name, withoutViewings(row.Terms), row.ExpiresAt, err == nil}
		return nil
	})
	return invited, err
}

// openInvitation finds the invitation of a secret that is good now.
func (s *Service) openInvitation(tx *store.Tx, secret string) (store.Invitation, error) {
	row, err := tx.InvitationByHash(signin.HashOf(secret))
	if errors.Is(err, ErrNotFound) || err == nil && (row.Status != store.InvitationOpen || !row.ExpiresAt.After(s.deps.Clock())) {
		return row, ErrInvitation
	}
	return row, err
}

// AcceptInvitation makes the holder of a link a member, once. An account that is there keeps its name and password: its owner signs in
// and accepts. The error is ErrInvitation, ErrHasAccount, ErrOtherLogin, or strict.Faults about the name.
func (s *Service) AcceptInvitation(ctx context.Context, in Acceptance) (Accepted, error) {
	var row store.Invitation
	err := s.deps.Store.Read(ctx, func(tx *store.Tx) (err error) {
		row, err = s.openInvitation(tx, in.Secret)
		return err
	})
	if err != nil {
		return Accepted{}, err
	}
	actor := in.Person
	if actor == "" {
		actor = competency.PersonID(s.deps.NewID())
	}
	act := store.Act{Programme: row.Programme, Actor: actor, Name: "invitation.accept", RequestID: in.RequestID, At: s.deps.Clock()}
	err = s.deps.Store.Write(ctx, act, func(tx *store.Tx) error {
		row, err := s.openInvitation(tx, in.Secret) // again: another may have been first
		if err != nil {
			return err
		}
		if err := s.accountFor(tx, row, in, actor); err != nil {
			return err
		}
		return s.accept(tx, row, actor)
	})
	return Accepted{row.Programme, row.Email}, err
}

// accountFor makes sure of the account that accepts: the one signed in, with the address invited, or a new one.
func (s *Service) accountFor(tx *store.Tx, row store.Invitation, in Acceptance, actor competency.PersonID) error {
	known, err := tx.PersonByEmail(row.Email)
	switch {
	case err != nil && !errors.Is(err, ErrNotFound):
		return err
	case in.Person != "" && (err != nil || known.ID != in.Person):
		return ErrOtherLogin
	case in.Person != "":
		return nil
	case err == nil:
		return ErrHasAccount
	}
	name := strings.TrimSpace(in.Name)
	if err := checkName(name); err != nil {
		return err
	}
	person := store.Person{ID: actor, Email: row.Email, Name: name, PasswordHash: in.PasswordHash, Epoch: 1, CreatedAt: s.deps.Clock()}
	if err := tx.CreatePerson(person); err != nil {
		return err
	}
	person.PasswordHash = "" // no trace of it in the audit trail
	return tx.Audit("person", string(actor), nil, person)
}

// accept closes the invitation and gives its roles, those left out that the person has by now.
func (s *Service) accept(tx *store.Tx, row store.Invitation, person competency.PersonID) error {
	out, err := tx.Deactivated(row.Programme)
	if err != nil {
		return err
	}
	if _, kept := out[person]; kept {
		return ErrInvitation
	}
	had, err := tx.MembershipsIn(row.Programme, person)
	if err != nil {
		return err
	}
	var others []store.RoleTerm
	for _, m := range had {
		others = append(others, store.RoleTerm{Role: m.Role, From: m.From, Until: m.Until})
	}
	now := s.deps.Clock()
	for _, term := range row.Terms {
		if term.From == "" {
			term.From = competency.DayOf(now)
		}
		if checkTerm(term, others) != nil {
			continue
		}
		m := store.Membership{Programme: row.Programme, Person: person, Role: term.Role, From: term.From, Until: term.Until}
		if err := tx.AddMembership(m); err != nil {
			return err
		}
		if err := tx.Audit("membership", string(person), nil, m); err != nil {
			return err
		}
		if term.Viewing != nil {
			given := store.Viewing{Programme: row.Programme, Person: person, ViewingChoice: *term.Viewing, Until: term.Until, By: row.CreatedBy}
			if err := s.giveViewing(tx, given); err != nil {
				return err
			}
		}
		others = append(others, term)
	}
	after := row
	after.Status, after.ClosedAt, after.Accepted = store.InvitationAccepted, now, person
	if err := tx.SaveInvitation(after); err != nil {
		return err
	}
	return tx.Audit("invitation", row.ID, row, after)
}
