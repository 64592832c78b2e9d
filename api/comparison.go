package api

import (
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/competency"
	"isthmus/policies"
)

func (s *server) registerComparison() {
	type comparison struct {
		InProgramme
		Plan   competency.PlanID `path:"plan" maxLength:"64"`
		Expert int               `query:"expert" minimum:"0" maximum:"100" default:"0" doc:"Which of the scenario's expert plans, counted from 0."`
	}
	register(s, operation{
		id: "comparison", method: http.MethodGet, path: base + "/plans/{plan}/comparison", tag: "Plans", object: policies.Plan, action: policies.Read,
		summary: "A graded plan beside an expert's plan, with their differences",
		details: "The expert's plan for the version of the scenario that was answered; it stands in no other answer. Refused while the caller has a test open.",
	}, func(ctx context.Context, in *comparison) (*answer[service.Comparison], error) {
		view, err := s.Service.CompareWithExpert(ctx, actor(ctx), in.Programme, in.Plan, in.Expert)
		return given(view, inQuery(ctx, err))
	})
}
