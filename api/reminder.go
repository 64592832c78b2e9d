package api

import (
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/policies"
)

func (s *server) registerReminders() {
	register(s, operation{
		id: "reminders", method: http.MethodGet, path: base + "/reminders", tag: "Programme", object: policies.Reminder, action: policies.List,
		summary: "What waits for you in the programme",
		details: "By kind: an open test, returned cases, cases to sign, drafts; for director and coordinator also cases that have waited too long for another's signature. Each kind with its count, how many are late, and the oldest cases. A kind of which there is nothing is left out.",
	}, func(ctx context.Context, in *InProgramme) (*listed[service.Reminder], error) {
		return page(s.Service.Reminders(ctx, actor(ctx), in.Programme))
	})
}
