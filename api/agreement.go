package api

import (
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/competency"
	"isthmus/policies"
)

func (s *server) registerAgreement() {
	type one struct {
		InProgramme
		Trainee competency.PersonID `path:"trainee" maxLength:"64"`
	}
	register(s, operation{
		id: "agreement", method: http.MethodGet, path: base + "/trainees/{trainee}/agreement", tag: "Standing", object: policies.Standing, action: policies.Read,
		summary: "How a trainee's accounts of who performed each step agree with the supervisors'",
		details: "Over signed cases, all together and by quarter, each share with n and its interval, and the cases behind it. It describes; it is no verdict on honesty.",
	}, func(ctx context.Context, in *one) (*answer[service.TraineeAgreement], error) {
		return given(s.Service.Agreement(ctx, actor(ctx), in.Programme, in.Trainee))
	})
}
