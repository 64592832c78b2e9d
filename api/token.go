package api

import (
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/api/signin"
	"isthmus/policies"
)

// newToken is what a new bearer token takes.
type newToken struct {
	Name          string `json:"name" required:"true" minLength:"1" maxLength:"100" doc:"What the token is for."`
	ExpiresInDays int    `json:"expires_in_days" required:"true" minimum:"1" maximum:"365"`
}

func (s *server) registerTokens() {
	type creation struct {
		Body newToken
	}
	type one struct {
		Token string `path:"token" maxLength:"64"`
	}
	register(s, operation{
		id: "create-token", method: http.MethodPost, path: "/api/tokens", tag: "Tokens", object: policies.Token, action: policies.Create,
		summary: "Make a bearer token", details: "The token itself is shown in this answer only. A token cannot make tokens.", status: http.StatusCreated,
	}, func(ctx context.Context, in *creation) (*answer[signin.Token], error) {
		return given(s.gate.CreateToken(ctx, caller(ctx), requestID(ctx), in.Body.Name, in.Body.ExpiresInDays))
	})
	register(s, operation{
		id: "tokens", method: http.MethodGet, path: "/api/tokens", tag: "Tokens", object: policies.Token, action: policies.List,
		summary: "Your bearer tokens that still work",
	}, func(ctx context.Context, _ *struct{}) (*listed[signin.Token], error) {
		tokens, err := s.gate.Tokens(ctx, caller(ctx))
		return page(service.List[signin.Token]{Items: tokens}, err)
	})
	register(s, operation{
		id: "revoke-token", method: http.MethodDelete, path: "/api/tokens/{token}", tag: "Tokens", object: policies.Token, action: policies.Delete,
		summary: "End one of your bearer tokens at once", status: http.StatusNoContent,
	}, func(ctx context.Context, in *one) (*struct{}, error) {
		return nil, s.gate.RevokeToken(ctx, caller(ctx), requestID(ctx), in.Token)
	})
}
