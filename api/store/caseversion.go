package store

import (
	"encoding/json"
	"fmt"
	"time"

	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/competency"
)

// CaseVersion is a case as it was submitted. It never changes; evidence rests on it.
type CaseVersion struct {
	Case        competency.CaseID
	Version     int
	Record      competency.Record
	Computed    competency.Computed
	ContentHash string
	SubmittedAt time.Time
}

type caseVersionRow struct {
	ProgrammeID   competency.ProgrammeID `gorm:"primaryKey"`
	CaseID        competency.CaseID      `gorm:"primaryKey"`
	Version       int                    `gorm:"primaryKey;autoIncrement:false"`
	Record        string
	Computed      string
	ContentHash   string
	SubmittedAt   time.Time
	OperatedOn    string
	Site          string
	Operation     string
	Pattern       af.Pattern
	Scope         atrium.Scope
	Policy        string
	LinesComplete bool
	BlockTested   bool
}

// TableName names the table.
func (caseVersionRow) TableName() string { return "case_versions" }

// AddCaseVersion keeps a submitted case's record and computed facts for good. The error is ErrDuplicate when the version is there
// already, ErrReference when the programme has no such case.
func (tx *Tx) AddCaseVersion(c competency.Case) error {
	row, err := fromCaseVersion(c)
	if err != nil {
		return err
	}
	return tx.insert("add case version", c.Programme, &row)
}

// fromCaseVersion is the version a case was last submitted as.
func fromCaseVersion(c competency.Case) (caseVersionRow, error) {
	if c.Computed == nil {
		return caseVersionRow{}, fmt.Errorf("add case version: case %s was never submitted", c.ID)
	}
	head, err := fromCase(c)
	if err != nil {
		return caseVersionRow{}, err
	}
	return caseVersionRow{
		ProgrammeID: c.Programme, CaseID: c.ID, Version: c.Version, Record: head.Record, Computed: *head.Computed, ContentHash: c.ContentHash,
		SubmittedAt: utc(c.SubmittedAt), OperatedOn: c.Record.OperatedOn, Site: c.Record.Site, Operation: c.Record.Operation,
		Pattern: c.Computed.Pattern, Scope: c.Computed.Scope, Policy: c.Computed.Policy,
		LinesComplete: c.Computed.LinesComplete, BlockTested: c.Computed.BlockTested,
	}, nil
}

// CaseVersions lists what was submitted of a case, first version first.
func (tx *Tx) CaseVersions(programme competency.ProgrammeID, id competency.CaseID) ([]CaseVersion, error) {
	var rows []caseVersionRow
	if err := tx.db.Where("programme_id = ? AND case_id = ?", programme, id).Order("version").Find(&rows).Error; err != nil {
		return nil, translate("case versions", err)
	}
	list := make([]CaseVersion, len(rows))
	for i, row := range rows {
		list[i] = CaseVersion{Case: row.CaseID, Version: row.Version, ContentHash: row.ContentHash, SubmittedAt: utc(row.SubmittedAt)}
		if err := json.Unmarshal([]byte(row.Record), &list[i].Record); err != nil {
			return nil, fmt.Errorf("version %d of case %s: %w", row.Version, id, err)
		}
		if err := json.Unmarshal([]byte(row.Computed), &list[i].Computed); err != nil {
			return nil, fmt.Errorf("version %d of case %s: %w", row.Version, id, err)
		}
	}
	return list, nil
}

// caseHistory is the acts on cases.
var caseHistory = history{"case act", "case_acts", "case_id"}

type caseActRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	CaseID      competency.CaseID      `gorm:"primaryKey"`
	Done        doneRow                `gorm:"embedded"`
}

// TableName names the table.
func (caseActRow) TableName() string { return caseHistory.table }

// AddCaseAct adds an act to a case's history. The error is ErrReference when the programme has no such case.
func (tx *Tx) AddCaseAct(programme competency.ProgrammeID, id competency.CaseID, d Done) error {
	next, err := tx.next(caseHistory, programme, string(id), d)
	if err != nil {
		return err
	}
	return tx.insert("add case act", programme, &caseActRow{programme, id, next})
}

// CaseActs lists what was done to a case, first act first.
func (tx *Tx) CaseActs(programme competency.ProgrammeID, id competency.CaseID) ([]Done, error) {
	return tx.done(caseHistory, programme, string(id))
}
