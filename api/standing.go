package api

import (
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/competency"
	"isthmus/policies"
)

// OnDay asks for a day.
type OnDay struct {
	On string `query:"on" maxLength:"10" doc:"Calendar day, 2026-03-14; today when absent, never later."`
}

func (s *server) registerStanding() {
	type standing struct {
		InProgramme
		OnDay
		Trainee competency.PersonID `path:"trainee" maxLength:"64"`
	}
	type cohort struct {
		InProgramme
		OnDay
		Year   int    `query:"year" minimum:"0" maximum:"30" doc:"Of training, from 1; all when absent."`
		Site   string `query:"site" maxLength:"200" doc:"Where a trainee works on the day; all when absent."`
		Period int    `query:"period" minimum:"0" maximum:"730" doc:"Days a trend looks back; 90 when absent."`
	}
	register(s, operation{
		id: "standing", method: http.MethodGet, path: base + "/trainees/{trainee}/standing", tag: "Standing", object: policies.Standing, action: policies.Read,
		summary: "A trainee's standing against the programme's standard", details: "Every requirement with its state, figures, the evidence used and left out with reasons. People decide.",
	}, func(ctx context.Context, in *standing) (*answer[service.TraineeStanding], error) {
		view, err := s.Service.StandingOf(ctx, actor(ctx), in.Programme, in.Trainee, in.On)
		return given(view, inQuery(ctx, err))
	})
	register(s, operation{
		id: "cohort", method: http.MethodGet, path: base + "/cohort", tag: "Standing", object: policies.Cohort, action: policies.Read,
		summary: "Where every trainee stands and how that moved, those who need action first",
		details: "One line a requirement; the evidence behind it is in the trainee's standing. The headline is over the whole programme, whatever the filter.",
	}, func(ctx context.Context, in *cohort) (*answer[service.Cohort], error) {
		view, err := s.Service.Cohort(ctx, actor(ctx), in.Programme, service.CohortQuery{On: in.On, Year: in.Year, Site: in.Site, Period: in.Period})
		return given(view, inQuery(ctx, err))
	})
	s.registerDifference()
	s.registerAgreement()
	s.registerCurves()
	s.registerOutcomes()
}
