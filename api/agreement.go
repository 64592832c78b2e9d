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
	register(s, operation{
		id: "programme-agreement", method: http.MethodGet, path: base + "/agreement", tag: "Standing", object: policies.Cohort, action: policies.Read,
		summary: "How the accounts of all trainees of today agree with the supervisors'",
		details: "Together and for each trainee, and every case whose accounts differ, with the steps that do.",
	}, func(ctx context.Context, in *InProgramme) (*answer[service.ProgrammeAgreement], error) {
		return given(s.Service.ProgrammeAgreement(ctx, actor(ctx), in.Programme))
	})
}
