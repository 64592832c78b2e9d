package api

import (
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/competency"
	"isthmus/policies"
)

// newViewing is what a reviewer is let see from now on.
type newViewing struct {
	Viewing
	Until competency.Day `json:"until" required:"true" maxLength:"10" doc:"Last day, included, at most 90 days off; that of the role too."`
}

func (s *server) registerViewings() {
	type choosing struct {
		InProgramme
		Person competency.PersonID `path:"person" maxLength:"64"`
		Body   newViewing
	}
	const tag = "Reviewers"
	register(s, operation{
		id: "viewing", method: http.MethodGet, path: base + "/viewing", tag: tag, object: policies.Viewing, action: policies.Read,
		summary: "What one may see as an external reviewer, and until when", details: "Everything else of anybody is refused, and everything after the last day. Each reading of a record is logged.",
	}, func(ctx context.Context, in *InProgramme) (*answer[service.ViewingGiven], error) {
		return given(s.Service.OwnViewing(ctx, actor(ctx), in.Programme))
	})
	register(s, operation{
		id: "figures", method: http.MethodGet, path: base + "/viewing/figures", tag: tag, object: policies.Figures, action: policies.Read,
		summary: "The cohort's figures of today without names", details: "For an external reviewer whose invitation chose them. Counts below the programme's limit are not told. The reading is logged.",
	}, func(ctx context.Context, in *InProgramme) (*answer[service.CohortFigures], error) {
		return given(s.Service.Figures(ctx, actor(ctx), in.Programme))
	})
	register(s, operation{
		id: "set-viewing", method: http.MethodPut, path: base + "/members/{person}/viewing", tag: tag, object: policies.Viewing, action: policies.Edit,
		summary: "Choose anew what a reviewer may see, and until when", details: "It replaces what was chosen before. For the director.",
	}, func(ctx context.Context, in *choosing) (*answer[service.MemberRecord], error) {
		return given(s.Service.SetViewing(ctx, actor(ctx), in.Programme, in.Person, in.Body.choice(), in.Body.Until))
	})
	register(s, operation{
		id: "readings", method: http.MethodGet, path: base + "/members/{person}/readings", tag: tag, object: policies.Viewing, action: policies.List,
		summary: "What a reviewer read, newest first", details: "One line for each request and thing read, out of the audit trail; the last 200.",
	}, func(ctx context.Context, in *ofMember) (*listed[service.Reading], error) {
		return page(s.Service.Readings(ctx, actor(ctx), in.Programme, in.Person))
	})
}
