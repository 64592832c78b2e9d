package api

import (
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/assessment/atrium"
	"isthmus/policies"
)

func (s *server) registerActivation() {
	type activation struct {
		InProgramme
		Body atrium.LesionSet
	}
	register(s, operation{
		id: "activation", method: http.MethodPost, path: base + "/activation", tag: "Scenarios", object: policies.Conduction, action: policies.Compute,
		summary: "How a beat from the sinus node spreads past a lesion set",
		details: "For drawing lines of equal time: the tissue of each chamber as directions, triangles and the time in ms at which the beat arrives. Nothing is kept.",
	}, func(ctx context.Context, in *activation) (*answer[service.ActivationMap], error) {
		return given(s.Service.Activate(ctx, actor(ctx), in.Programme, in.Body))
	})
}
