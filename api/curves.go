package api

import (
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/competency"
	"isthmus/policies"
)

func (s *server) registerCurves() {
	type curves struct {
		InProgramme
		OnDay
		Trainee competency.PersonID `path:"trainee" maxLength:"64"`
		Scale   string              `query:"scale" enum:"help_given,supervision_next,complete" doc:"A rule of success of one's own choice, beside those of the standard."`
		Level   int                 `query:"level" minimum:"0" maximum:"5" doc:"With help_given and supervision_next: a case at this level or above is a success."`
	}
	register(s, operation{
		id: "curves", method: http.MethodGet, path: base + "/trainees/{trainee}/curves", tag: "Standing", object: policies.Standing, action: policies.Read,
		summary: "A trainee's learning curves",
		details: "Each requirement of kind curve as a chart with its limits, their horizon and what they are worth as probabilities; the curve fitted to the same cases with its limits and where it reaches the target, or the reason why none is fitted. Every point names its case.",
	}, func(ctx context.Context, in *curves) (*answer[service.TraineeCurves], error) {
		view, err := s.Service.CurvesOf(ctx, actor(ctx), in.Programme, in.Trainee, in.On, service.CurveChoice{Scale: in.Scale, Level: in.Level})
		return given(view, inQuery(ctx, err))
	})
}
