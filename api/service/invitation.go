package service

import (
	"cmp"
	"context"
	"fmt"
	"net/mail"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"isthmus/api/signin"
	"isthmus/api/store"
	"isthmus/competency"
	"isthmus/policies"
)

// Limits of an invitation.
const (
	DefaultInvitationDays = 14
	MaxInvitationDays     = 60
	mostTerms             = 6
)

// InvitationView is an invitation as those see it who keep the members. Link is there once: when it is made.
type InvitationView struct {
	ID            string           `json:"id"`
	Email         string           `json:"email"`
	Name          string           `json:"name"`
	Roles         []store.RoleTerm `json:"roles"`
	InvitedByName string           `json:"invited_by_name"`
	CreatedAt     time.Time        `json:"created_at"`
	ExpiresAt     time.Time        `json:"expires_at"`
	May           bool             `json:"may"`            // the actor may make a new link, and withdraw it
	Link          string           `json:"link,omitempty"` // path with the token in its fragment, which a browser sends to nobody
}

// InvitationInput is who is invited to what. A first day left out is that of accepting.
type InvitationInput struct {
	Email string
	Name  string
	Roles []store.RoleTerm
	Days  int // that the link is good for; 0: 14
}

// Invitations lists the open invitations, newest first, those past their last day too.
func (s *Service) Invitations(ctx context.Context, actor Actor, programme competency.ProgrammeID) (List[InvitationView], error) {
	list := List[InvitationView]{Items: []InvitationView{}}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.may(policies.Invitation, policies.List, policies.InProgramme); err != nil {
			return err
		}
		rows, err := h.tx.OpenInvitations(programme)
		if err != nil {
			return err
		}
		list.Items = make([]InvitationView, len(rows))
		for i, row := range rows {
			if list.Items[i], err = h.viewOfInvitation(row); err != nil {
				return err
			}
		}
		return nil
	})
	return list, err
}

// Invite makes an invitation with its link, which is given this once: only a hash of its token is kept. Who is a member already gets
// roles instead. The error is strict.Faults, ErrOwnRoles, ErrForbidden or ErrDuplicate when the address is invited already.
func (s *Service) Invite(ctx context.Context, actor Actor, programme competency.ProgrammeID, in InvitationInput) (InvitationView, error) {
	secret, hash, err := signin.NewSecret()
	if err != nil {
		return InvitationView{}, err
	}
	var view InvitationView
	err = s.write(ctx, actor, programme, "invitation.create", func(h *scene) error {
		if err := h.may(policies.Invitation, policies.Create, policies.InProgramme); err != nil {
			return err
		}
		row, err := h.newInvitation(in, hash)
		if err != nil {
			return err
		}
		if err := h.tx.CreateInvitation(row); err != nil {
			return err
		}
		if err := h.tx.Audit("invitation", row.ID, nil, row); err != nil {
			return err
		}
		view, err = h.viewOfInvitation(row)
		view.Link = linkOf(secret)
		return err
	})
	return view, err
}

// linkOf is the path of the page that accepts, with the token in the fragment: browsers send that to no server, so no log has it.
func linkOf(secret string) string { return "/invitation#" + secret }

// newInvitation checks who is invited to what.
func (h *scene) newInvitation(in InvitationInput, hash string) (store.Invitation, error) {
	email := strings.ToLower(strings.TrimSpace(in.Email))
	if address, err := mail.ParseAddress(email); err != nil || address.Address != email || len(email) > 254 {
		return store.Invitation{}, fault("email", "is no e-mail address: people sign in by it")
	}
	name := strings.TrimSpace(in.Name)
	if name != "" {
		if err := checkName(name); err != nil {
			return store.Invitation{}, err
		}
	}
	days := in.Days
	if days == 0 {
		days = DefaultInvitationDays
	}
	if days < 1 || days > MaxInvitationDays {
		return store.Invitation{}, fault("days", "must be 1 to %d", MaxInvitationDays)
	}
	if err := h.checkTerms(in.Roles); err != nil {
		return store.Invitation{}, err
	}
	if err := h.notMember(email); err != nil {
		return store.Invitation{}, err
	}
	return store.Invitation{
		ID: h.service.deps.NewID(), Programme: h.programme.ID, Email: email, Name: name, Terms: in.Roles, TokenHash: hash, Status: store.InvitationOpen,
		CreatedBy: h.actor.Person, CreatedAt: h.now, ExpiresAt: h.now.AddDate(0, 0, days),
	}, nil
}

// checkTerms checks the roles of an invitation, and that the actor may give them.
func (h *scene) checkTerms(terms []store.RoleTerm) error {
	if len(terms) < 1 || len(terms) > mostTerms {
		return fault("roles", "must be 1 to %d roles", mostTerms)
	}
	for i, term := range terms {
		place := fmt.Sprintf("roles[%d]", i)
		if err := h.mayGive(term.Role, policies.Create); err != nil {
			return under(place, err)
		}
		if err := cmp.Or(checkTerm(term, terms[:i]), h.checkViewing(term)); err != nil {
			return under(place, err)
		}
		if term.Until != "" && term.Until < h.today {
			return fault(place+".until", "must not be before today")
		}
	}
	return nil
}

// notMember refuses the address of somebody who is or was a member, the actor's own among them.
func (h *scene) notMember(email string) error {
	people, err := h.tx.People(h.programme.ID, "", "")
	if err != nil {
		return err
	}
	for _, person := range people {
		switch {
		case person.Email != email:
		case person.ID == h.actor.Person:
			return ErrOwnRoles
		default:
			return fault("email", "%s is or was a member: give the role there, on the page of the people", person.Name)
		}
	}
	return nil
}

// checkName accepts a name of one line. A sign that a spreadsheet would take for a formula must not begin it: names leave in CSV files.
func checkName(name string) error {
	if name == "" || utf8.RuneCountInString(name) > 120 || strings.ContainsFunc(name, unicode.IsControl) {
		return fault("name", "must be 1 to 120 characters on one line")
	}
	if strings.ContainsRune("=+-@", rune(name[0])) {
		return fault("name", "must not begin with %q: a spreadsheet would take it for a formula", name[:1])
	}
	return nil
}

// RenewInvitation makes a new link for an open invitation, good as long as a first one; the old link is dead from then on.
func (s *Service) RenewInvitation(ctx context.Context, actor Actor, programme competency.ProgrammeID, id string) (InvitationView, error) {
	secret, hash, err := signin.NewSecret()
	if err != nil {
		return InvitationView{}, err
	}
	view, err := s.changeInvitation(ctx, actor, programme, "invitation.renew", policies.Edit, id, func(h *scene, row *store.Invitation) {
		row.TokenHash, row.ExpiresAt = hash, h.now.AddDate(0, 0, DefaultInvitationDays)
	})
	view.Link = linkOf(secret)
	return view, err
}

// WithdrawInvitation ends an open invitation; its link is dead from then on.
func (s *Service) WithdrawInvitation(ctx context.Context, actor Actor, programme competency.ProgrammeID, id string) error {
	_, err := s.changeInvitation(ctx, actor, programme, "invitation.withdraw", policies.Withdraw, id, func(h *scene, row *store.Invitation) {
		row.Status, row.ClosedAt = store.InvitationWithdrawn, h.now
	})
	return err
}

// changeInvitation is an act on an open invitation whose roles the actor may give.
func (s *Service) changeInvitation(ctx context.Context, actor Actor, programme competency.ProgrammeID, name string, action policies.Action, id string, change func(*scene, *store.Invitation)) (InvitationView, error) {
	var view InvitationView
	err := s.write(ctx, actor, programme, name, func(h *scene) error {
		if err := h.may(policies.Invitation, action, policies.InProgramme); err != nil {
			return err
		}
		before, err := h.tx.InvitationByID(programme, id)
		if err != nil {
			return err
		}
		for _, term := range before.Terms {
			if err := h.mayGive(term.Role, policies.Create); err != nil {
				return err
			}
		}
		after := before
		change(h, &after)
		if err := h.tx.SaveInvitation(after); err != nil {
			return err
		}
		if err := h.tx.Audit("invitation", id, before, after); err != nil {
			return err
		}
		view, err = h.viewOfInvitation(after)
		return err
	})
	return view, err
}

func (h *scene) viewOfInvitation(row store.Invitation) (InvitationView, error) {
	by, err := h.name(row.CreatedBy)
	may := true
	for _, term := range row.Terms {
		may = may && h.mayGive(term.Role, policies.Create) == nil
	}
	return InvitationView{
		ID: row.ID, Email: row.Email, Name: row.Name, Roles: row.Terms, InvitedByName: by, CreatedAt: row.CreatedAt, ExpiresAt: row.ExpiresAt, May: may,
	}, err
}
