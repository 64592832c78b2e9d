package api

import (
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/competency"
	"isthmus/policies"
)

func (s *server) registerGrowth() {
	type growth struct {
		InProgramme
		Trainee competency.PersonID `path:"trainee" maxLength:"64"`
	}
	register(s, operation{
		id: "growth", method: http.MethodGet, path: base + "/trainees/{trainee}/growth", tag: "Plans", object: policies.Growth, action: policies.Read,
		summary: "A trainee's growth across attempts, by AF pattern and by omission",
		details: "First tries at each scenario are the fair measure; tests stand apart from practice. A share has its interval and n, and below the least n nothing is said of it.",
	}, func(ctx context.Context, in *growth) (*answer[service.TraineeGrowth], error) {
		return given(s.Service.Growth(ctx, actor(ctx), in.Programme, in.Trainee))
	})
}
