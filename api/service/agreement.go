package service

import (
	"cmp"
	"context"
	"slices"

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

// ProgrammeAgreement is how the accounts of the programme's trainees agree with the supervisors', together and each.
type ProgrammeAgreement struct {
	competency.Agreement
	Trainees []AgreementRow `json:"trainees"` // by name
	Caution  string         `json:"caution"`
}

// AgreementRow is one trainee's agreement without the cases behind it.
type AgreementRow struct {
	Trainee     PersonRef                 `json:"trainee"`
	Cases       int                       `json:"cases"`
	Steps       competency.AgreementShare `json:"steps"`
	ClaimedMore competency.AgreementShare `json:"claimed_more"`
	ClaimedLess competency.AgreementShare `json:"claimed_less"`
	Roles       competency.AgreementShare `json:"roles"`
	Events      competency.AgreementShare `json:"events"`
}

// ProgrammeAgreement counts over the signed cases of everyone who is a trainee today, for whoever may read the cohort. The error is
// ErrForbidden.
func (s *Service) ProgrammeAgreement(ctx context.Context, actor Actor, programme competency.ProgrammeID) (ProgrammeAgreement, error) {
	answer := ProgrammeAgreement{Trainees: []AgreementRow{}, Caution: atrium.Caution}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.may(policies.Cohort, policies.Read, policies.InProgramme); err != nil {
			return err
		}
		trainees, err := h.tx.People(programme, string(policies.Trainee), competency.DayOf(h.now))
		if err != nil {
			return err
		}
		accounted, err := h.tx.AccountedForAll(programme)
		if err != nil {
			return err
		}
		by := map[competency.PersonID][]competency.Accounted{}
		for _, one := range accounted {
			by[one.Trainee] = append(by[one.Trainee], one)
		}
		var counted []competency.Accounted
		for _, trainee := range trainees {
			counted = append(counted, by[trainee.ID]...)
			row := rowOf(competency.AgreementOf(by[trainee.ID]))
			row.Trainee = PersonRef{ID: trainee.ID, Name: trainee.Name}
			answer.Trainees = append(answer.Trainees, row)
		}
		slices.SortFunc(answer.Trainees, func(a, b AgreementRow) int {
			return cmp.Or(cmp.Compare(a.Trainee.Name, b.Trainee.Name), cmp.Compare(a.Trainee.ID, b.Trainee.ID))
		})
		answer.Agreement = competency.AgreementOf(counted)
		return nil
	})
	return answer, err
}

// rowOf is an agreement's shares without the lists of their cases.
func rowOf(a competency.Agreement) AgreementRow {
	row := AgreementRow{Cases: a.Cases, Steps: a.Steps, ClaimedMore: a.ClaimedMore, ClaimedLess: a.ClaimedLess, Roles: a.Roles, Events: a.Events}
	for _, share := range []*competency.AgreementShare{&row.Steps, &row.ClaimedMore, &row.ClaimedLess, &row.Roles, &row.Events} {
		share.CaseList = nil
	}
	return row
}
