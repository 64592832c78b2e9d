package api

import (
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/policies"
)

func (s *server) registerPractice() {
	type practice struct {
		InProgramme
		OnDay
		From string `query:"from" maxLength:"10" doc:"Operated or handed in from this day on; from the beginning when absent."`
		Site string `query:"site" maxLength:"200" doc:"Operations at this site only; plans have none."`
	}
	type assessors struct {
		InProgramme
		OnDay
		Scale string `query:"scale" enum:"help_given,supervision_next" doc:"Of the ratings that severity and trust are told of; help_given when absent."`
	}
	register(s, operation{
		id: "practice", method: http.MethodGet, path: base + "/practice", tag: "Standing", object: policies.Practice, action: policies.Read,
		summary: "What was operated and planned against the scope policy",
		details: "The commonest omission first; the share that did less than the policy asks for by quarter, AF pattern and site, the scopes delivered, and what was left out, operations and plans apart. Every share has n, its interval and the ids behind both numbers.",
	}, func(ctx context.Context, in *practice) (*answer[service.ScopePractice], error) {
		view, err := s.Service.Practice(ctx, actor(ctx), in.Programme, service.PracticeChoice{From: in.From, On: in.On, Site: in.Site})
		return given(view, inQuery(ctx, err))
	})
	register(s, operation{
		id: "assessors", method: http.MethodGet, path: base + "/assessors", tag: "Standing", object: policies.Assessors, action: policies.Read,
		summary: "How supervisors sign off, and how far their ratings can be trusted",
		details: "For each: the wait for a signature, returns, comments, late recall, severity and steps told alike; a supervisor who is no director finds only the own row. With it the variances of the programme's ratings and how many cases from how many assessors a dependable mean takes.",
	}, func(ctx context.Context, in *assessors) (*answer[service.Assessors], error) {
		view, err := s.Service.Assessors(ctx, actor(ctx), in.Programme, in.On, in.Scale)
		return given(view, inQuery(ctx, err))
	})
}
