package api

import (
	"context"
	"errors"
	"net/http"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humagin"

	"isthmus/api/service"
	"isthmus/api/signin"
	"isthmus/assessment/strict"
	"isthmus/policies"
)

// newInvitation is who is invited to what.
type newInvitation struct {
	Email string   `json:"email" required:"true" minLength:"3" maxLength:"254"`
	Name  string   `json:"name,omitempty" maxLength:"120" doc:"A suggestion: whoever accepts sets the name."`
	Roles []period `json:"roles" required:"true" minItems:"1" maxItems:"6"`
	Days  int      `json:"days,omitempty" minimum:"0" maximum:"60" doc:"How long the link is good for; 14 days when left out."`
}

// linkHeld is the secret of a link, out of its fragment.
type linkHeld struct {
	Token string `json:"token" required:"true" minLength:"1" maxLength:"200"`
}

// acceptance is what accepting takes.
type acceptance struct {
	Token    string `json:"token" required:"true" minLength:"1" maxLength:"200"`
	Name     string `json:"name,omitempty" maxLength:"120" doc:"Of a new account."`
	Password string `json:"password,omitempty" maxLength:"256" doc:"Of a new account. Who has an account signs in first; its password is never changed here."`
}

// fromAddress notes where a request comes from; huma calls Resolve.
type fromAddress struct {
	address string
}

// Resolve notes the address.
func (in *fromAddress) Resolve(ctx huma.Context) []error {
	in.address = humagin.Unwrap(ctx).ClientIP()
	return nil
}

// looking is a request to see the invitation behind a link.
type looking struct {
	fromAddress
	Body linkHeld
}

// accepting is a request to accept it.
type accepting struct {
	fromAddress
	Body acceptance
}

func (s *server) registerInvitations() {
	type invitation struct {
		InProgramme
		Body newInvitation
	}
	type one struct {
		InProgramme
		Invitation string `path:"invitation" maxLength:"64"`
	}
	register(s, operation{
		id: "invitations", method: http.MethodGet, path: base + "/invitations", tag: "Members", object: policies.Invitation, action: policies.List,
		summary: "The open invitations, newest first", details: "Without their links: those are shown when they are made.",
	}, func(ctx context.Context, in *InProgramme) (*listed[service.InvitationView], error) {
		return page(s.Service.Invitations(ctx, actor(ctx), in.Programme))
	})
	register(s, operation{
		id: "invite", method: http.MethodPost, path: base + "/invitations", tag: "Members", object: policies.Invitation, action: policies.Create,
		also: []policies.Object{policies.Oversight}, summary: "Invite somebody by link",
		details: "The link is in this answer only; it works once, until its last day. Nothing is sent: pass it on yourself.", status: http.StatusCreated,
	}, func(ctx context.Context, in *invitation) (*answer[service.InvitationView], error) {
		asked := service.InvitationInput{Email: in.Body.Email, Name: in.Body.Name, Days: in.Body.Days}
		for _, role := range in.Body.Roles {
			asked.Roles = append(asked.Roles, role.term())
		}
		return given(s.Service.Invite(ctx, actor(ctx), in.Programme, asked))
	})
	register(s, operation{
		id: "renew-invitation", method: http.MethodPost, path: base + "/invitations/{invitation}/link", tag: "Members", object: policies.Invitation, action: policies.Edit,
		summary: "Make a new link for an open invitation", details: "It is in this answer only, good for 14 days. The link before it is dead.",
	}, func(ctx context.Context, in *one) (*answer[service.InvitationView], error) {
		return given(s.Service.RenewInvitation(ctx, actor(ctx), in.Programme, in.Invitation))
	})
	register(s, operation{
		id: "withdraw-invitation", method: http.MethodDelete, path: base + "/invitations/{invitation}", tag: "Members", object: policies.Invitation, action: policies.Withdraw,
		summary: "End an open invitation", status: http.StatusNoContent,
	}, func(ctx context.Context, in *one) (*struct{}, error) {
		return nil, s.Service.WithdrawInvitation(ctx, actor(ctx), in.Programme, in.Invitation)
	})
	register(s, operation{
		id: "invitation", method: http.MethodPost, path: "/api/invitation", tag: "Session", object: policies.Invitation, action: policies.Read,
		summary: "What a link invites to", details: "A POST, so that the token stands in no address. After 50 wrong ones from an address within 15 minutes: 429.",
	}, func(ctx context.Context, in *looking) (*answer[service.Invited], error) {
		return given(s.invited(ctx, in.address, in.Body.Token))
	})
	register(s, operation{
		id: "accept-invitation", method: http.MethodPost, path: "/api/invitation/acceptance", tag: "Session", object: policies.Invitation, action: policies.Accept,
		summary: "Accept an invitation", details: "With name and password of a new account; or signed in, with the account of the address that was invited.",
	}, s.acceptInvitation)
}

// invited is the invitation behind a link, with wrong ones counted against the address.
func (s *server) invited(ctx context.Context, address, token string) (invited service.Invited, err error) {
	err = s.gate.Guess(ctx, address, service.ErrInvitation, func() error {
		invited, err = s.Service.InvitationBehind(ctx, token)
		return err
	})
	return invited, err
}

func (s *server) acceptInvitation(ctx context.Context, in *accepting) (*answer[service.Accepted], error) {
	if caller(ctx).ByToken { // a token joins nothing in its owner's name
		return nil, signin.ErrNeedsLogin
	}
	invited, err := s.invited(ctx, in.address, in.Body.Token)
	if err != nil {
		return nil, err
	}
	asked := service.Acceptance{Secret: in.Body.Token, Person: caller(ctx).Person, Name: in.Body.Name, RequestID: requestID(ctx)}
	if asked.Person == "" && !invited.HasAccount {
		if asked.PasswordHash, err = s.gate.Hash(ctx, in.Body.Password); errors.Is(err, signin.ErrWeakPassword) {
			var faults strict.Faults
			faults.Add("password", "%v", err)
			err = faults
		}
		if err != nil {
			return nil, err
		}
	}
	return given(s.Service.AcceptInvitation(ctx, asked))
}
