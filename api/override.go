package api

import (
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/policies"
)

// registerOverrides is the review of what people let past the privacy screen.
func (s *server) registerOverrides() {
	type many struct {
		InProgramme
		Paged
		Waiting bool `query:"waiting" doc:"Only those nobody has looked at."`
	}
	type one struct {
		InProgramme
		Override string `path:"override" maxLength:"64"`
	}
	register(s, operation{
		id: "overrides", method: http.MethodGet, path: base + "/overrides", tag: "Overrides", object: policies.Override, action: policies.List,
		summary: "What was let past the privacy screen, newest first",
		details: "Where, what kind, who, when and why. The words are not in it: they are read in their place, and are gone when they are taken out there.",
	}, func(ctx context.Context, in *many) (*listed[service.OverrideView], error) {
		return page(s.Service.Overrides(ctx, actor(ctx), in.Programme, in.Waiting, in.page()))
	})
	register(s, operation{
		id: "review-override", method: http.MethodPost, path: base + "/overrides/{override}/review", tag: "Overrides", object: policies.Override, action: policies.Review,
		summary: "Note that you have looked at an override", details: "Once for each, with who and when. Nobody reviews one of their own.",
	}, func(ctx context.Context, in *one) (*answer[service.OverrideView], error) {
		return given(s.Service.ReviewOverride(ctx, actor(ctx), in.Programme, in.Override))
	})
}
