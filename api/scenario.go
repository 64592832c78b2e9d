package api

import (
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/assessment"
	"isthmus/assessment/atrium"
	"isthmus/policies"
)

func (s *server) registerScenarios() {
	type many struct {
		InProgramme
		Paged
	}
	type one struct {
		InProgramme
		Scenario assessment.ScenarioID `path:"scenario" maxLength:"100"`
	}
	type conduction struct {
		InProgramme
		Body atrium.LesionSet
	}
	register(s, operation{
		id: "scenarios", method: http.MethodGet, path: base + "/scenarios", tag: "Scenarios", object: policies.Scenario, action: policies.List,
		summary: "The scenarios, with how you did",
	}, func(ctx context.Context, in *many) (*listed[service.ScenarioSummary], error) {
		return page(s.Service.Scenarios(ctx, actor(ctx), in.Programme, in.page()))
	})
	register(s, operation{
		id: "scenario", method: http.MethodGet, path: base + "/scenarios/{scenario}", tag: "Scenarios", object: policies.Scenario, action: policies.Read,
		summary: "One scenario without its answers, with your attempts",
	}, func(ctx context.Context, in *one) (*answer[service.ScenarioView], error) {
		return given(s.Service.ScenarioByID(ctx, actor(ctx), in.Programme, in.Scenario))
	})
	register(s, operation{
		id: "conduction", method: http.MethodPost, path: base + "/conduction", tag: "Scenarios", object: policies.Conduction, action: policies.Compute,
		summary: "What a lesion set would block and what it would leave", details: "Body and answer are those of the command isthmus conduct. Nothing is kept.",
	}, func(ctx context.Context, in *conduction) (*answer[atrium.Result], error) {
		return given(s.Service.Conduct(ctx, actor(ctx), in.Programme, in.Body))
	})
}
