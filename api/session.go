package api

import (
	"context"
	"net/http"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humagin"

	"isthmus/api/service"
	"isthmus/api/signin"
	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/policies"
)

// Session is who is signed in, and where they belong.
type Session struct {
	Person      SessionPerson       `json:"person"`
	Memberships []service.Belonging `json:"memberships"`
	Version     string              `json:"version" doc:"Of the program."`
	Caution     string              `json:"caution"`
}

// SessionPerson is the person signed in.
type SessionPerson struct {
	ID    competency.PersonID `json:"id"`
	Name  string              `json:"name"`
	Email string              `json:"email"`
}

// credentials are an e-mail address and a password.
type credentials struct {
	Email    string `json:"email" required:"true" minLength:"3" maxLength:"254"`
	Password string `json:"password" required:"true" minLength:"1" maxLength:"256"`
}

// signingIn is what a sign-in takes. The address it comes from is found out, not told.
type signingIn struct {
	address   string
	withToken bool
	Body      credentials
}

// Resolve notes where the request comes from; huma calls it.
func (in *signingIn) Resolve(ctx huma.Context) []error {
	in.address, in.withToken = humagin.Unwrap(ctx).ClientIP(), ctx.Header("Authorization") != ""
	return nil
}

func (s *server) registerSession() {
	register(s, operation{
		id: "sign-in", method: http.MethodPost, path: "/api/session", tag: "Session", object: policies.Session, action: policies.Create,
		summary: "Sign in with e-mail address and password", details: "Sets the session cookie. After 5 failures for an account, or 50 from an address, within 15 minutes: 429.",
	}, s.signIn)
	register(s, operation{
		id: "session", method: http.MethodGet, path: "/api/session", tag: "Session", object: policies.Session, action: policies.Read,
		summary: "Who is signed in, with today's roles in each programme",
	}, func(ctx context.Context, _ *struct{}) (*answer[Session], error) {
		return given(s.sessionOf(ctx, caller(ctx).Person, caller(ctx).Name, caller(ctx).Email))
	})
	register(s, operation{
		id: "sign-out", method: http.MethodDelete, path: "/api/session", tag: "Session", object: policies.Session, action: policies.Delete,
		summary: "Sign out", status: http.StatusNoContent,
	}, func(ctx context.Context, _ *struct{}) (*struct{}, error) {
		return nil, s.gate.SignOut(ctx, caller(ctx))
	})
	s.registerProof()
}

// proof is the password given again. The address it comes from is found out, not told.
type proof struct {
	address string
	Body    struct {
		Password string `json:"password" required:"true" minLength:"1" maxLength:"256"`
	}
}

// Resolve notes where the request comes from; huma calls it.
func (in *proof) Resolve(ctx huma.Context) []error {
	in.address = humagin.Unwrap(ctx).ClientIP()
	return nil
}

func (s *server) registerProof() {
	register(s, operation{
		id: "prove-identity", method: http.MethodPost, path: "/api/session/proof", tag: "Session", object: policies.Session, action: policies.Edit,
		summary: "Give the password again, before signing", details: "A signature needs a password given within the programme's signing_minutes. Failures count as failed sign-ins.",
		status: http.StatusNoContent,
	}, func(ctx context.Context, in *proof) (*struct{}, error) {
		return nil, s.gate.Prove(ctx, caller(ctx), in.Body.Password, in.address)
	})
}

func (s *server) signIn(ctx context.Context, in *signingIn) (*answer[Session], error) {
	if in.withToken { // such a request has no session to open
		return nil, signin.ErrNeedsLogin
	}
	who, err := s.gate.SignIn(ctx, in.Body.Email, in.Body.Password, in.address)
	if err != nil {
		return nil, err
	}
	noteCaller(ctx, who.Person)
	return given(s.sessionOf(ctx, who.Person, who.Name, who.Email))
}

func (s *server) sessionOf(ctx context.Context, person competency.PersonID, name, email string) (Session, error) {
	places, err := s.Service.Belongings(ctx, person)
	return Session{Person: SessionPerson{ID: person, Name: name, Email: email}, Memberships: places, Version: s.Version, Caution: atrium.Caution}, err
}
