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

// CaseAct is something done to a case. It never changes.
type CaseAct struct {
	Case    competency.CaseID
	Kind    string // create, edit, submit, return, sign-off, withdraw
	By      competency.PersonID
	ByName  string // filled when loaded
	At      time.Time
	Reason  string
	Version int
}

type caseActRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	CaseID      competency.CaseID      `gorm:"primaryKey"`
	Seq         int                    `gorm:"primaryKey;autoIncrement:false"`
	Kind        string
	ByID        competency.PersonID
	At          time.Time
	Reason      string
	Version     int
}

// TableName names the table.
func (caseActRow) TableName() string { return "case_acts" }

// AddCaseAct adds an act to a case's history. The error is ErrReference when the programme has no such case.
func (tx *Tx) AddCaseAct(programme competency.ProgrammeID, a CaseAct) error {
	var last int
	err := tx.db.Model(&caseActRow{}).Select("COALESCE(MAX(seq), 0)").Where("programme_id = ? AND case_id = ?", programme, a.Case).Scan(&last).Error
	if err != nil {
		return translate("add case act", err)
	}
	row := caseActRow{programme, a.Case, last + 1, a.Kind, a.By, utc(a.At), a.Reason, a.Version}
	return tx.insert("add case act", programme, &row)
}

// CaseActs lists what was done to a case, first act first.
func (tx *Tx) CaseActs(programme competency.ProgrammeID, id competency.CaseID) ([]CaseAct, error) {
	var rows []struct {
		Row    caseActRow `gorm:"embedded"`
		ByName string
	}
	err := tx.db.Table("case_acts AS a").Select("a.*, p.name AS by_name").Joins("JOIN people p ON p.id = a.by_id").
		Where("a.programme_id = ? AND a.case_id = ?", programme, id).Order("a.seq").Find(&rows).Error
	if err != nil {
		return nil, translate("case acts", err)
	}
	list := make([]CaseAct, len(rows))
	for i, named := range rows {
		r := named.Row
		list[i] = CaseAct{r.CaseID, r.Kind, r.ByID, named.ByName, utc(r.At), r.Reason, r.Version}
	}
	return list, nil
}
