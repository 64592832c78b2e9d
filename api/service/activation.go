package service

import (
	"context"

	"isthmus/assessment"
	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/policies"
)

// Model is the conduction model: what a lesion set does, how a beat from the sinus node spreads past it, and where its lesions run. It is safe for concurrent
// use where the Service is used so.
type Model interface {
	assessment.Conductor
	// Activation gives the activation time of every place of both chambers, left first. The error is strict.Faults about the set.
	Activation(set atrium.LesionSet) ([]atrium.Isochrones, error)
	// Lay gives where the lesions run, in their order, and nothing about what they do. The error is strict.Faults about the set.
	Lay(set atrium.LesionSet) ([]atrium.DrawnLesion, error)
}

// ActivationMap is how a beat from the sinus node spreads over both chambers, for drawing.
type ActivationMap struct {
	Chambers []atrium.Isochrones `json:"chambers"` // left first
	Caution  string              `json:"caution"`
}

// Activate computes how a beat spreads past a lesion set. The errors are strict.Faults about the set, and ErrTestOpen while the actor has
// a test open: the map shows what the lesions do.
func (s *Service) Activate(ctx context.Context, actor Actor, programme competency.ProgrammeID, set atrium.LesionSet) (ActivationMap, error) {
	if err := s.mayCompute(ctx, actor, programme); err != nil {
		return ActivationMap{}, err
	}
	chambers, err := s.deps.Model.Activation(set)
	return ActivationMap{Chambers: chambers, Caution: atrium.Caution}, err
}

// mayCompute refuses those who may not ask the conduction model now.
func (s *Service) mayCompute(ctx context.Context, actor Actor, programme competency.ProgrammeID) error {
	return s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.may(policies.Conduction, policies.Compute, policies.InProgramme); err != nil {
			return err
		}
		return h.noOpenTest()
	})
}
