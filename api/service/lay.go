package service

import (
	"context"

	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/policies"
)

// Laid is where the lesions of a set run, in its order, and nothing about what they do: what may be seen during a test.
type Laid struct {
	Lesions []atrium.DrawnLesion `json:"lesions"`
}

// Lay gives where the lesions of a set run. The error is strict.Faults about the set.
func (s *Service) Lay(ctx context.Context, actor Actor, programme competency.ProgrammeID, set atrium.LesionSet) (Laid, error) {
	err := s.read(ctx, actor, programme, func(h *scene) error {
		return h.may(policies.Conduction, policies.Compute, policies.InProgramme)
	})
	if err != nil {
		return Laid{}, err
	}
	lesions, err := s.deps.Model.Lay(set)
	return Laid{Lesions: append([]atrium.DrawnLesion{}, lesions...)}, err
}
