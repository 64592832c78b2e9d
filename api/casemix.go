package api

import (
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/policies"
)

func (s *server) registerCaseMix() {
	type mix struct {
		InProgramme
		OnDay
	}
	register(s, operation{
		id: "case-mix", method: http.MethodGet, path: base + "/case-mix", tag: "Standing", object: policies.Cohort, action: policies.Read,
		summary: "What each trainee lacks, and whether where they are to work can supply it",
		details: "For every count of cases in the standard: what there is, what is lacking, and how many the postings may bring by the programme's own history, with limits. No promise.",
	}, func(ctx context.Context, in *mix) (*answer[service.CaseMix], error) {
		view, err := s.Service.CaseMixOf(ctx, actor(ctx), in.Programme, in.On)
		return given(view, inQuery(ctx, err))
	})
}
