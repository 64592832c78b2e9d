package store

import (
	"encoding/json"
	"fmt"
	"time"

	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/competency/outcome"
)

// Outcomes lists every signed version of every case of a programme as outcomes need it, those of withdrawn cases too, and every version of
// every follow-up, each by id and version.
func (tx *Tx) Outcomes(programme competency.ProgrammeID) ([]outcome.Signed, []outcome.Recorded, error) {
	signed, err := tx.outcomeCases(programme)
	if err != nil {
		return nil, nil, err
	}
	var rows []followUpRow
	if err := tx.db.Where("programme_id = ?", programme).Order("id, version").Find(&rows).Error; err != nil {
		return nil, nil, translate("follow-ups of outcomes", err)
	}
	recorded := make([]outcome.Recorded, len(rows))
	for i, row := range rows {
		f, err := row.followUp()
		if err != nil {
			return nil, nil, err
		}
		recorded[i] = outcome.Recorded{ID: f.ID, Case: f.Case, Version: f.Version, Content: f.Content, At: f.At}
	}
	return signed, recorded, nil
}

// outcomeCases lists the signed versions.
func (tx *Tx) outcomeCases(programme competency.ProgrammeID) ([]outcome.Signed, error) {
	var rows []struct {
		CaseID      competency.CaseID
		Version     int
		GroupID     *string
		TraineeID   competency.PersonID
		AssessorID  competency.PersonID
		Site        string
		OperatedOn  string
		Operation   string
		Pattern     af.Pattern
		Scope       atrium.Scope
		Record      string
		Statement   string
		SubmittedAt time.Time
		SignedAt    time.Time
		Status      competency.CaseStatus
	}
	err := tx.db.Table("sign_offs AS s").
		Select(`s.case_id, v.version, g.group_id, c.trainee_id, s.assessor_id, v.site, v.operated_on, v.operation, v.pattern, v.scope,
			v.record, s.statement, v.submitted_at, s.signed_at, c.status`).
		Joins("JOIN case_versions v ON v.programme_id = s.programme_id AND v.case_id = s.case_id AND v.version = s.case_version").
		Joins("JOIN cases c ON c.programme_id = s.programme_id AND c.id = s.case_id").
		Joins("LEFT JOIN case_groups g ON g.programme_id = s.programme_id AND g.case_id = s.case_id").
		Where("s.programme_id = ?", programme).Order("s.case_id, s.case_version").Find(&rows).Error
	if err != nil {
		return nil, translate("cases of outcomes", err)
	}
	list := make([]outcome.Signed, len(rows))
	for i, r := range rows {
		var record competency.Record
		var statement competency.Statement
		if err := json.Unmarshal([]byte(r.Record), &record); err != nil {
			return nil, fmt.Errorf("record of case %s: %w", r.CaseID, err)
		}
		if err := json.Unmarshal([]byte(r.Statement), &statement); err != nil {
			return nil, fmt.Errorf("statement on case %s: %w", r.CaseID, err)
		}
		events := record.Events
		if statement.Events != nil { // the supervisor knows them otherwise
			events = statement.Events
		}
		list[i] = outcome.Signed{
			Case: r.CaseID, Version: r.Version, Trainee: r.TraineeID, Supervisor: r.AssessorID, Site: r.Site, OperatedOn: r.OperatedOn, Operation: r.Operation,
			Pattern: r.Pattern, Scope: r.Scope, Events: events, SubmittedAt: utc(r.SubmittedAt), SignedAt: utc(r.SignedAt),
			Withdrawn: r.Status == competency.CaseWithdrawn,
		}
		if r.GroupID != nil {
			list[i].Group = *r.GroupID
		}
	}
	return list, nil
}
