package service

import (
	"cmp"
	"context"
	"slices"

	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/competency/interval"
	"isthmus/policies"
)

// Assessors is how a programme's supervisors sign off, and how far their ratings can be trusted together. Whoever may read only their own row
// finds nobody else in it.
type Assessors struct {
	On        competency.Day    `json:"on"`
	Scale     string            `json:"scale"`
	Own       bool              `json:"own"`       // only the reader's own row
	Assessors []AssessorRow     `json:"assessors"` // by name
	Cases     []SignedItem      `json:"cases"`     // behind the numbers, latest signature first
	Ratings   competency.DStudy `json:"ratings"`
	Level     float64           `json:"level"`  // of the shares and the delay
	Method    string            `json:"method"` // of the shares
	Notes     []string          `json:"notes"`
	Caution   string            `json:"caution"`
}

// AssessorRow is one assessor by name.
type AssessorRow struct {
	Assessor PersonRef `json:"assessor"`
	competency.AssessorView
}

// SignedItem is a case behind a number.
type SignedItem struct {
	ID         competency.CaseID `json:"id"`
	OperatedOn string            `json:"operated_on"`
	Operation  string            `json:"operation"`
	Trainee    PersonRef         `json:"trainee"`
}

// assessorNotes say how things are counted.
var assessorNotes = []string{
	"Every signature counts, those on amended cases too; cases withdrawn since are left out. A wait runs from the submission of a version to its signature.",
	"The interval of a median wait: " + interval.MethodMedian + ". " + "It assumes that " + interval.MedianAssumptions + ".",
	"Steps of one case hang together, so the interval of steps told alike is rather too narrow.",
	"Severity compares assessors through the trainees they share; the kind of case is not taken out. It is no measure of quality, and nobody is ranked by it.",
}

// Assessors counts as known by a day (today when empty), with severity and trust on a scale (help_given when empty): all for the director, an
// assessor's own row for that assessor. The error is ErrForbidden or strict.Faults about the day.
func (s *Service) Assessors(ctx context.Context, actor Actor, programme competency.ProgrammeID, on, scale string) (Assessors, error) {
	answer := Assessors{
		Scale: cmp.Or(scale, competency.ScaleHelpGiven), Assessors: []AssessorRow{}, Cases: []SignedItem{}, Level: competency.AgreementLevel,
		Method: interval.MethodWilson, Notes: assessorNotes, Caution: atrium.Caution,
	}
	err := s.read(ctx, actor, programme, func(h *scene) (err error) {
		if err := h.may(policies.Assessors, policies.Read, policies.Own); err != nil {
			return err
		}
		answer.Own = h.may(policies.Assessors, policies.Read, policies.InProgramme) != nil
		if answer.On, err = h.dayOrToday(on); err != nil {
			return err
		}
		signed, err := h.tx.SignedVersions(programme)
		if err != nil {
			return err
		}
		returned, err := h.tx.Returns(programme)
		if err != nil {
			return err
		}
		answer.Ratings = competency.ProjectRatings(competency.EstimateRatings(competency.RatedOf(signed), answer.Scale, answer.On))
		views := competency.AssessorsOf(signed, returned, answer.Scale, h.programme.Settings.LateRecallDays, answer.On)
		if answer.Assessors, err = h.assessorRows(views, answer.Own); err != nil {
			return err
		}
		answer.Cases, err = h.signedItems(answer.Assessors, signed)
		return err
	})
	return answer, err
}

// assessorRows puts names to the views, by name; or leaves only the reader's own.
func (h *scene) assessorRows(views []competency.AssessorView, own bool) ([]AssessorRow, error) {
	rows := []AssessorRow{}
	for _, view := range views {
		if own && view.Assessor != h.actor.Person {
			continue
		}
		who, err := h.personRef(view.Assessor)
		if err != nil {
			return nil, err
		}
		rows = append(rows, AssessorRow{Assessor: who, AssessorView: view})
	}
	slices.SortFunc(rows, func(a, b AssessorRow) int {
		return cmp.Or(cmp.Compare(a.Assessor.Name, b.Assessor.Name), cmp.Compare(a.Assessor.ID, b.Assessor.ID))
	})
	return rows, nil
}

// signedItems are the cases the rows name.
func (h *scene) signedItems(rows []AssessorRow, signed []competency.Signed) ([]SignedItem, error) {
	named := map[competency.CaseID]bool{}
	for _, row := range rows {
		for _, list := range [][]competency.CaseID{row.CaseList, row.Returned.CaseList} {
			for _, id := range list {
				named[id] = true
			}
		}
	}
	items := []SignedItem{}
	for _, one := range slices.Backward(signed) {
		if !named[one.Case] {
			continue
		}
		delete(named, one.Case)
		trainee, err := h.personRef(one.Trainee)
		if err != nil {
			return nil, err
		}
		items = append(items, SignedItem{one.Case, one.OperatedOn, one.Operation, trainee})
	}
	return items, nil
}
