package api

import (
	"cmp"
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/assessment/af"
	"isthmus/policies"
)

func (s *server) registerPractice() {
	type PracticeQuery struct { // exported: what is embedded must be
		InProgramme
		OnDay
		From string `query:"from" maxLength:"10" doc:"Operated or handed in from this day on; from the beginning when absent."`
		Site string `query:"site" maxLength:"200" doc:"Operations at this site only; plans have none."`

		Pattern af.Pattern `query:"pattern" enum:"paroxysmal,persistent,long-standing-persistent,permanent" doc:"In this AF pattern only."`
	}
	type behind struct {
		PracticeQuery
		Side string `query:"side" enum:"operated,planned" doc:"operated when absent."`
		Of   string `query:"of" maxLength:"300" doc:"Which number: the of of a share; less when absent."`
		All  bool   `query:"all" doc:"Everything the share is counted of; its hits when absent."`
	}
	type assessors struct {
		InProgramme
		OnDay
		Scale string `query:"scale" enum:"help_given,supervision_next" doc:"Of the ratings that severity and trust are told of; help_given when absent."`
	}
	register(s, operation{
		id: "practice", method: http.MethodGet, path: base + "/practice", tag: "Standing", object: policies.Practice, action: policies.Read,
		summary: "What was operated and planned against the scope policy",
		details: "The commonest omission first; the share that did less than the policy asks for by quarter, AF pattern and site, the scopes delivered, and what was left out, operations and plans apart. Every share has n and its interval; what is behind both of its numbers is one call away.",
	}, func(ctx context.Context, in *PracticeQuery) (*answer[service.ScopePractice], error) {
		view, err := s.Service.Practice(ctx, actor(ctx), in.Programme, service.PracticeChoice{From: in.From, On: in.On, Site: in.Site, Pattern: in.Pattern})
		return given(view, inQuery(ctx, err))
	})
	register(s, operation{
		id: "practice-behind", method: http.MethodGet, path: base + "/practice/behind", tag: "Standing", object: policies.Practice, action: policies.Read,
		summary: "The operations or plans behind a number of practice",
		details: "With the same choice of days, site and AF pattern as the number was read with.",
	}, func(ctx context.Context, in *behind) (*answer[service.PracticeBehind], error) {
		choice := service.PracticeChoice{From: in.From, On: in.On, Site: in.Site, Pattern: in.Pattern}
		view, err := s.Service.PracticeBehind(ctx, actor(ctx), in.Programme, choice, cmp.Or(in.Side, service.Operated), cmp.Or(in.Of, "less"), in.All)
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
