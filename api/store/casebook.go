package store

import (
	"encoding/json"
	"fmt"
	"time"

	"isthmus/competency"
)

// CaseFilter narrows a list of cases; empty fields do not.
type CaseFilter struct {
	Trainee    competency.PersonID
	Supervisor competency.PersonID
	Status     competency.CaseStatus
	// OwnOrSupervised, when given, leaves in only this person's own cases and those submitted to this person as supervisor.
	OwnOrSupervised competency.PersonID
	// DraftsOf, when given, leaves out everybody else's cases that were never submitted: until then they are their trainee's own.
	DraftsOf competency.PersonID
}

type caseRow struct {
	ID           competency.CaseID
	ProgrammeID  competency.ProgrammeID
	TraineeID    competency.PersonID
	SupervisorID *competency.PersonID
	Version      int
	Status       competency.CaseStatus
	OperatedOn   string
	Record       string
	Computed     *string
	ContentHash  string
	SubmittedAt  *time.Time
	CreatedAt    time.Time `gorm:"autoCreateTime:false"`
	UpdatedAt    time.Time `gorm:"autoUpdateTime:false"`
	Revision     int
	// The version signed last, and the highest ever submitted when that is above Version.
	SignedVersion int
	LastVersion   int
}

// TableName names the table.
func (caseRow) TableName() string { return "cases" }

func fromCase(c competency.Case) (caseRow, error) {
	row := caseRow{
		ID: c.ID, ProgrammeID: c.Programme, TraineeID: c.Trainee, Version: c.Version, Status: c.Status, OperatedOn: c.Record.OperatedOn,
		SupervisorID: personOrNil(c.Record.Supervisor), ContentHash: c.ContentHash, SubmittedAt: utcOrNil(c.SubmittedAt), CreatedAt: utc(c.CreatedAt),
		UpdatedAt: utc(c.UpdatedAt), Revision: c.Revision, SignedVersion: c.SignedVersion, LastVersion: c.LastVersion,
	}
	record, err := json.Marshal(c.Record)
	if err != nil {
		return row, fmt.Errorf("record of case %s: %w", c.ID, err)
	}
	row.Record = string(record)
	if c.Computed == nil {
		return row, nil
	}
	computed, err := json.Marshal(c.Computed)
	if err != nil {
		return row, fmt.Errorf("computed of case %s: %w", c.ID, err)
	}
	text := string(computed)
	row.Computed = &text
	return row, nil
}

func (r caseRow) toCase() (competency.Case, error) {
	c := competency.Case{
		ID: r.ID, Programme: r.ProgrammeID, Trainee: r.TraineeID, Version: r.Version, Status: r.Status, ContentHash: r.ContentHash,
		SubmittedAt: timeOrZero(r.SubmittedAt), CreatedAt: utc(r.CreatedAt), UpdatedAt: utc(r.UpdatedAt), Revision: r.Revision,
		SignedVersion: r.SignedVersion, LastVersion: r.LastVersion,
	}
	if err := json.Unmarshal([]byte(r.Record), &c.Record); err != nil {
		return c, fmt.Errorf("record of case %s: %w", r.ID, err)
	}
	if r.Computed == nil {
		return c, nil
	}
	c.Computed = &competency.Computed{}
	if err := json.Unmarshal([]byte(*r.Computed), c.Computed); err != nil {
		return c, fmt.Errorf("computed of case %s: %w", r.ID, err)
	}
	return c, nil
}

// CreateCase adds a case. The error is ErrDuplicate when its id is taken, ErrReference when trainee or supervisor is no account.
func (tx *Tx) CreateCase(c competency.Case) error {
	row, err := fromCase(c)
	if err != nil {
		return err
	}
	return tx.insert("create case", c.Programme, &row)
}

// CaseByID loads a case of a programme. The error is ErrNotFound.
func (tx *Tx) CaseByID(programme competency.ProgrammeID, id competency.CaseID) (competency.Case, error) {
	var row caseRow
	if err := tx.take("case", &row, "programme_id = ? AND id = ?", programme, id); err != nil {
		return competency.Case{}, err
	}
	return row.toCase()
}

// SaveCase replaces a case whose stored revision is expected; c carries the new one. Programme, trainee and creation stay as they are.
// The error is ErrStale when the revision is another by now, ErrNotFound when the programme has no such case.
func (tx *Tx) SaveCase(c competency.Case, expected int) error {
	if err := tx.mayWrite(c.Programme); err != nil {
		return err
	}
	row, err := fromCase(c)
	if err != nil {
		return err
	}
	changed := tx.db.Model(&caseRow{}).Where("programme_id = ? AND id = ? AND revision = ?", c.Programme, c.ID, expected).
		Select("*").Omit("ID", "ProgrammeID", "TraineeID", "CreatedAt").Updates(&row)
	return replaced("save case", changed, func() error {
		_, err := tx.CaseByID(c.Programme, c.ID)
		return err
	})
}

// Cases lists a programme's cases, newest first by their creation.
func (tx *Tx) Cases(programme competency.ProgrammeID, filter CaseFilter, page Page) ([]competency.Case, string, error) {
	query := tx.db.Where("programme_id = ?", programme)
	if filter.Trainee != "" {
		query = query.Where("trainee_id = ?", filter.Trainee)
	}
	if filter.Supervisor != "" {
		query = query.Where("supervisor_id = ?", filter.Supervisor)
	}
	if filter.Status != "" {
		query = query.Where("status = ?", filter.Status)
	}
	if filter.OwnOrSupervised != "" {
		query = query.Where("(trainee_id = ? OR (supervisor_id = ? AND version > 0))", filter.OwnOrSupervised, filter.OwnOrSupervised)
	}
	if filter.DraftsOf != "" {
		query = query.Where("(version > 0 OR trainee_id = ?)", filter.DraftsOf)
	}
	query, err := newestFirst(query, "created_at", "id", page)
	if err != nil {
		return nil, "", err
	}
	var rows []caseRow
	if err := query.Find(&rows).Error; err != nil {
		return nil, "", translate("cases", err)
	}
	return tryPageOf(rows, page, caseRow.toCase, func(r caseRow) string { return cursorAt(r.CreatedAt, string(r.ID)) })
}

// TraineesOf lists the trainees who have submitted a case to a supervisor, sorted by id.
func (tx *Tx) TraineesOf(programme competency.ProgrammeID, supervisor competency.PersonID) ([]competency.PersonID, error) {
	trainees := []competency.PersonID{}
	err := tx.db.Model(&caseRow{}).Distinct("trainee_id").Where("programme_id = ? AND supervisor_id = ? AND version > 0", programme, supervisor).
		Order("trainee_id").Pluck("trainee_id", &trainees).Error
	return trainees, translate("trainees of a supervisor", err)
}
