package api

import (
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/competency"
	"isthmus/policies"
)

// digestBody is when somebody wants the digest.
type digestBody struct {
	Choices competency.DigestChoices `json:"choices" required:"true"`
}

// stopping is a request to turn a mail off.
type stopping struct {
	fromAddress
	Body stopBody
}

// stopBody is the token of a mail.
type stopBody struct {
	Token string `json:"token" required:"true" minLength:"1" maxLength:"200" doc:"Out of the fragment of the link in the mail."`
}

func (s *server) registerDigest() {
	type choosing struct {
		Body digestBody
	}
	register(s, operation{
		id: "digest", method: http.MethodGet, path: "/api/digest", tag: "Session", object: policies.Digest, action: policies.Read,
		summary: "When you are told by mail what waits for you",
	}, func(ctx context.Context, _ *struct{}) (*answer[service.DigestView], error) {
		return given(s.Service.Digest(ctx, actor(ctx)))
	})
	register(s, operation{
		id: "choose-digest", method: http.MethodPut, path: "/api/digest", tag: "Session", object: policies.Digest, action: policies.Edit,
		summary: "Choose when you are told by mail what waits for you", details: "Off, daily or weekly, at an hour of your time zone outside your quiet hours. The mail holds counts and a link, nothing of a case.",
	}, func(ctx context.Context, in *choosing) (*answer[service.DigestView], error) {
		return given(s.Service.ChooseDigest(ctx, actor(ctx), in.Body.Choices))
	})
	register(s, operation{
		id: "stop-digest", method: http.MethodPost, path: "/api/digest/stop", tag: "Session", object: policies.Digest, action: policies.Withdraw,
		summary: "Turn the mail off by the token in it", details: "A POST, so that the token stands in no address. After 50 wrong ones from an address within 15 minutes: 429.", status: http.StatusNoContent,
	}, func(ctx context.Context, in *stopping) (*struct{}, error) {
		return nil, s.gate.Guess(ctx, in.address, service.ErrNotFound, func() error { return s.Service.StopDigest(ctx, requestID(ctx), in.Body.Token) })
	})
}
