package service

import (
	"context"

	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/policies"
)

// TraineeAgreement is how a trainee's accounts of who performed each step agree with the supervisors'.
type TraineeAgreement struct {
	Trainee PersonRef `json:"trainee"`
	competency.Agreement
	Caution string `json:"caution"`
}

// Agreement counts over a trainee's signed cases, for whoever may read the standing. The error is ErrNotFound for who is no trainee of
// the programme, or ErrForbidden.
func (s *Service) Agreement(ctx context.Context, actor Actor, programme competency.ProgrammeID, trainee competency.PersonID) (TraineeAgreement, error) {
	answer := TraineeAgreement{Caution: atrium.Caution}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.mayTrainee(policies.Standing, policies.Read, trainee); err != nil {
			return err
		}
		if _, err := h.traineeSince(trainee); err != nil {
			return err
		}
		accounted, err := h.tx.Accounted(programme, trainee)
		if err != nil {
			return err
		}
		answer.Agreement = competency.AgreementOf(accounted)
		answer.Trainee.ID = trainee
		answer.Trainee.Name, err = h.name(trainee)
		return err
	})
	return answer, err
}
