package store

import (
	"encoding/json"
	"fmt"
	"time"

	"isthmus/competency"
)

// CasePattern is an operation pattern that a trainee saved to begin cases from.
type CasePattern struct {
	ID        string                 `json:"id"`
	Programme competency.ProgrammeID `json:"-"`
	Person    competency.PersonID    `json:"-"`
	Name      string                 `json:"name"`
	Record    competency.Record      `json:"record"`
	CreatedAt time.Time              `json:"created_at"`
}

type casePatternRow struct {
	ID          string
	ProgrammeID competency.ProgrammeID
	PersonID    competency.PersonID
	Name        string
	Record      string
	CreatedAt   time.Time `gorm:"autoCreateTime:false"`
}

// TableName names the table.
func (casePatternRow) TableName() string { return "case_patterns" }

// CasePatterns lists a person's patterns in a programme by name.
func (tx *Tx) CasePatterns(programme competency.ProgrammeID, person competency.PersonID) ([]CasePattern, error) {
	var rows []casePatternRow
	if err := tx.db.Where("programme_id = ? AND person_id = ?", programme, person).Order("name").Find(&rows).Error; err != nil {
		return nil, translate("case patterns", err)
	}
	list := make([]CasePattern, len(rows))
	for i, row := range rows {
		list[i] = CasePattern{ID: row.ID, Programme: programme, Person: person, Name: row.Name, CreatedAt: utc(row.CreatedAt)}
		if err := json.Unmarshal([]byte(row.Record), &list[i].Record); err != nil {
			return nil, fmt.Errorf("case pattern %s: %w", row.ID, err)
		}
	}
	return list, nil
}

// SaveCasePattern adds a pattern, in place of the person's earlier one of that name.
func (tx *Tx) SaveCasePattern(p CasePattern) error {
	if err := tx.mayWrite(p.Programme); err != nil {
		return err
	}
	record, err := json.Marshal(p.Record)
	if err != nil {
		return fmt.Errorf("case pattern %s: %w", p.ID, err)
	}
	earlier := tx.db.Where("programme_id = ? AND person_id = ? AND name = ?", p.Programme, p.Person, p.Name).Delete(&casePatternRow{})
	if earlier.Error != nil {
		return translate("save case pattern", earlier.Error)
	}
	row := casePatternRow{p.ID, p.Programme, p.Person, p.Name, string(record), utc(p.CreatedAt)}
	return tx.insert("save case pattern", p.Programme, &row)
}

// RenameCasePattern gives a person's pattern another name. The error is ErrNotFound, or ErrDuplicate where another of theirs has it.
func (tx *Tx) RenameCasePattern(programme competency.ProgrammeID, person competency.PersonID, id, name string) error {
	if err := tx.mayWrite(programme); err != nil {
		return err
	}
	named := tx.db.Model(&casePatternRow{}).Where("programme_id = ? AND person_id = ? AND id = ?", programme, person, id).Update("name", name)
	if named.Error == nil && named.RowsAffected == 0 {
		return fmt.Errorf("case pattern: %w", ErrNotFound)
	}
	return translate("rename case pattern", named.Error)
}

// DeleteCasePattern removes a person's pattern. The error is ErrNotFound.
func (tx *Tx) DeleteCasePattern(programme competency.ProgrammeID, person competency.PersonID, id string) error {
	if err := tx.mayWrite(programme); err != nil {
		return err
	}
	gone := tx.db.Where("programme_id = ? AND person_id = ? AND id = ?", programme, person, id).Delete(&casePatternRow{})
	if gone.Error == nil && gone.RowsAffected == 0 {
		return fmt.Errorf("case pattern: %w", ErrNotFound)
	}
	return translate("delete case pattern", gone.Error)
}
