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
	result, err := s.deps.Model.Conduct(set)
	if err != nil {
		return Laid{}, err
	}
	laid := Laid{Lesions: make([]atrium.DrawnLesion, len(result.Lesions))}
	for i, lesion := range result.Lesions {
		lesion.Recognised = ""
		laid.Lesions[i] = lesion
	}
	return laid, nil
}
