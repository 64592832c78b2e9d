package api

import (
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/competency"
	"isthmus/policies"
)

func (s *server) registerDifference() {
	type difference struct {
		InProgramme
		Trainee competency.PersonID `path:"trainee" maxLength:"64"`
		From    string              `query:"from" maxLength:"10" doc:"Calendar day, 2026-03-14; a quarter of a year before when absent."`
		To      string              `query:"to" maxLength:"10" doc:"A later calendar day; today when absent, never later."`
	}
	register(s, operation{
		id: "standing-difference", method: http.MethodGet, path: base + "/trainees/{trainee}/standing-difference", tag: "Standing", object: policies.Standing, action: policies.Read,
		summary: "What changed in a trainee's standing between two days",
		details: "Each day is judged by the standard that applied on it. What came and what went is named, with the reason it was left out on the other day.",
	}, func(ctx context.Context, in *difference) (*answer[service.StandingDifference], error) {
		view, err := s.Service.DifferenceOf(ctx, actor(ctx), in.Programme, in.Trainee, in.From, in.To)
		return given(view, inQuery(ctx, err))
	})
}
