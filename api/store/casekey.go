package store

import (
	"time"

	"gorm.io/gorm/clause"

	"isthmus/competency"
)

// CaseKey is by which a person finds a case again: a keyed hash of a record number that only that person's browser can make.
type CaseKey struct {
	Programme competency.ProgrammeID
	Case      competency.CaseID
	By        competency.PersonID
	Key       string
	At        time.Time
}

type caseKeyRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	CaseID      competency.CaseID      `gorm:"primaryKey"`
	ByID        competency.PersonID    `gorm:"primaryKey"`
	CaseKey     string
	At          time.Time
}

// TableName names the table.
func (caseKeyRow) TableName() string { return "case_keys" }

// SaveCaseKey keeps a person's key to a case, in place of the one before. The error is ErrReference when the programme has no such case.
func (tx *Tx) SaveCaseKey(k CaseKey) error {
	if err := tx.mayWrite(k.Programme); err != nil {
		return err
	}
	row := caseKeyRow{k.Programme, k.Case, k.By, k.Key, utc(k.At)}
	conflict := clause.OnConflict{
		Columns:   []clause.Column{{Name: "programme_id"}, {Name: "case_id"}, {Name: "by_id"}},
		DoUpdates: clause.AssignmentColumns([]string{"case_key", "at"}),
	}
	return translate("save case key", tx.db.Clauses(conflict).Create(&row).Error)
}

// CaseKeyOf is a person's key to a case. The error is ErrNotFound when there is none.
func (tx *Tx) CaseKeyOf(programme competency.ProgrammeID, id competency.CaseID, by competency.PersonID) (CaseKey, error) {
	var row caseKeyRow
	err := tx.take("case key", &row, "programme_id = ? AND case_id = ? AND by_id = ?", programme, id, by)
	return CaseKey{row.ProgrammeID, row.CaseID, row.ByID, row.CaseKey, utc(row.At)}, err
}

// CasesByKey lists the cases that a key leads to, whoever made it, newest first.
func (tx *Tx) CasesByKey(programme competency.ProgrammeID, key string) ([]competency.Case, error) {
	var rows []caseRow
	err := tx.db.Where("programme_id = ?", programme).
		Where("EXISTS (SELECT 1 FROM case_keys k WHERE k.programme_id = cases.programme_id AND k.case_id = cases.id AND k.case_key = ?)", key).
		Order("created_at DESC, id DESC").Find(&rows).Error
	if err != nil {
		return nil, translate("cases by key", err)
	}
	list := make([]competency.Case, len(rows))
	for i, row := range rows {
		if list[i], err = row.toCase(); err != nil {
			return nil, err
		}
	}
	return list, nil
}
