package api

import (
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/assessment/af"
	"isthmus/policies"
)

func (s *server) registerOutcomes() {
	type outcomes struct {
		InProgramme
		OnDay
		Year    int        `query:"year" minimum:"0" maximum:"9999" doc:"Only operations of that year."`
		Site    string     `query:"site" maxLength:"80" doc:"Only operations at that site."`
		Pattern af.Pattern `query:"pattern" enum:"paroxysmal,persistent,long-standing-persistent,permanent" doc:"Only operations for that AF pattern."`
		Month   int        `query:"month" minimum:"0" maximum:"480" doc:"The month of the schedule at which figures are told and units compared; 12 when absent."`
		Outside bool       `query:"outside" doc:"As it may leave the programme: counts below the programme's limit are hidden, and so are others from which they could be worked out; no case is named."`
	}
	register(s, operation{
		id: "outcomes", method: http.MethodGet, path: base + "/outcomes", tag: "Standing", object: policies.Cohort, action: policies.Read,
		summary: "What became of the programme's operations",
		details: "How complete the follow-up is, first. Then freedom from atrial arrhythmia by scope delivered and by AF pattern (Kaplan-Meier with limits, log-rank), pacemakers by scope with death as competing event, sites and supervising surgeons in a funnel, and observed less expected. Every figure has its n, its method and the cases behind it, or the reason why it is not told. It describes; it says nothing about cause.",
	}, func(ctx context.Context, in *outcomes) (*answer[service.Outcomes], error) {
		view, err := s.Service.Outcomes(ctx, actor(ctx), in.Programme, service.OutcomeChoice{
			On: in.On, Year: in.Year, Site: in.Site, Pattern: in.Pattern, Month: in.Month, Outside: in.Outside,
		})
		return given(view, inQuery(ctx, err))
	})
}
