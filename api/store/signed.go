package store

import (
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"isthmus/competency"
)

// SignedVersions lists every signed version of every case of a programme with its record and its statement, those of cases withdrawn since
// marked, in the order of signing.
func (tx *Tx) SignedVersions(programme competency.ProgrammeID) ([]competency.Signed, error) {
	var rows []struct {
		CaseID      competency.CaseID
		CaseVersion int
		TraineeID   competency.PersonID
		AssessorID  competency.PersonID
		OperatedOn  string
		Operation   string
		SubmittedAt time.Time
		SignedAt    time.Time
		LateRecall  bool
		Record      string
		Computed    string
		Statement   string
		Role        competency.Role
		RoleClaimed competency.Role
		Status      competency.CaseStatus
	}
	err := tx.db.Table("sign_offs AS s").
		Select("s.case_id, s.case_version, c.trainee_id, s.assessor_id, v.operated_on, v.operation, v.submitted_at, s.signed_at, s.late_recall, v.record, v.computed, s.statement, s.role, s.role_claimed, c.status").
		Joins("JOIN case_versions v ON v.programme_id = s.programme_id AND v.case_id = s.case_id AND v.version = s.case_version").
		Joins("JOIN cases c ON c.programme_id = s.programme_id AND c.id = s.case_id").
		Where("s.programme_id = ?", programme).Order("s.signed_at, s.id").Find(&rows).Error
	if err != nil {
		return nil, translate("signed versions", err)
	}
	list := make([]competency.Signed, len(rows))
	for i, r := range rows {
		list[i] = competency.Signed{
			Case: r.CaseID, Version: r.CaseVersion, Trainee: r.TraineeID, Assessor: r.AssessorID, OperatedOn: r.OperatedOn, Operation: r.Operation,
			SubmittedAt: utc(r.SubmittedAt), SignedAt: utc(r.SignedAt), LateRecall: r.LateRecall, Role: r.Role, RoleClaimed: r.RoleClaimed,
			Withdrawn: r.Status == competency.CaseWithdrawn,
		}
		err := errors.Join(json.Unmarshal([]byte(r.Record), &list[i].Record), json.Unmarshal([]byte(r.Computed), &list[i].Computed),
			json.Unmarshal([]byte(r.Statement), &list[i].Statement))
		if err != nil {
			return nil, fmt.Errorf("signed version %d of case %s: %w", r.CaseVersion, r.CaseID, err)
		}
	}
	return list, nil
}

// Returns lists every hand-back of a programme's submitted cases, in the order of time.
func (tx *Tx) Returns(programme competency.ProgrammeID) ([]competency.Returned, error) {
	var rows []struct {
		CaseID competency.CaseID
		ByID   competency.PersonID
		At     time.Time
		Status competency.CaseStatus
	}
	err := tx.db.Table("case_acts AS a").Select("a.case_id, a.by_id, a.at, c.status").
		Joins("JOIN cases c ON c.programme_id = a.programme_id AND c.id = a.case_id").
		Where("a.programme_id = ? AND a.kind = ?", programme, "return").Order("a.at, a.case_id, a.seq").Find(&rows).Error
	list := make([]competency.Returned, len(rows))
	for i, r := range rows {
		list[i] = competency.Returned{Case: r.CaseID, By: r.ByID, At: utc(r.At), Withdrawn: r.Status == competency.CaseWithdrawn}
	}
	return list, translate("returns", err)
}

// FirstTries lists the first plan of every trainee of a programme for every scenario, in practice or as a test, in the order of time.
func (tx *Tx) FirstTries(programme competency.ProgrammeID) ([]PlanRow, error) {
	var rows []planWithName
	err := tx.db.Table("plans AS p").Select(summaryColumns+", p.plan, p.grade").Joins("JOIN people t ON t.id = p.trainee_id").
		Where("p.programme_id = ? AND p.attempt = 1", programme).Order("p.submitted_at, p.id").Find(&rows).Error
	list := make([]PlanRow, len(rows))
	for i, row := range rows {
		list[i] = PlanRow{PlanSummary: row.summary(), Plan: json.RawMessage(row.Row.Plan), Grade: json.RawMessage(row.Row.Grade)}
	}
	return list, translate("first tries", err)
}
