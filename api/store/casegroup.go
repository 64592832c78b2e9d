package store

import (
	"fmt"
	"time"

	"isthmus/competency"
)

// GroupedCase is a case's place in the group of cases of one operation.
type GroupedCase struct {
	Programme competency.ProgrammeID `json:"-"`
	Case      competency.CaseID      `json:"case"`
	Group     string                 `json:"group"`
	JoinedBy  competency.PersonID    `json:"joined_by"`
	JoinedAt  time.Time              `json:"joined_at"`
}

type groupedCaseRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	CaseID      competency.CaseID      `gorm:"primaryKey"`
	GroupID     string
	JoinedBy    competency.PersonID
	JoinedAt    time.Time
}

// TableName names the table.
func (groupedCaseRow) TableName() string { return "case_groups" }

// JoinCaseGroup puts a case into a group. The error is ErrDuplicate when it is in one, ErrReference when the programme has no such case.
func (tx *Tx) JoinCaseGroup(g GroupedCase) error {
	row := groupedCaseRow{g.Programme, g.Case, g.Group, g.JoinedBy, utc(g.JoinedAt)}
	return tx.insert("join case group", g.Programme, &row)
}

// LeaveCaseGroup takes a case out of its group. The error is ErrNotFound when it is in none.
func (tx *Tx) LeaveCaseGroup(programme competency.ProgrammeID, id competency.CaseID) error {
	if err := tx.mayWrite(programme); err != nil {
		return err
	}
	gone := tx.db.Where("programme_id = ? AND case_id = ?", programme, id).Delete(&groupedCaseRow{})
	if gone.Error == nil && gone.RowsAffected == 0 {
		return fmt.Errorf("case group: %w", ErrNotFound)
	}
	return translate("leave case group", gone.Error)
}

// CaseGroupsOf gives the groups of those of the cases that are in one.
func (tx *Tx) CaseGroupsOf(programme competency.ProgrammeID, ids ...competency.CaseID) (map[competency.CaseID]string, error) {
	groups := map[competency.CaseID]string{}
	if len(ids) == 0 {
		return groups, nil
	}
	var rows []groupedCaseRow
	if err := tx.db.Where("programme_id = ? AND case_id IN ?", programme, ids).Find(&rows).Error; err != nil {
		return nil, translate("case groups", err)
	}
	for _, row := range rows {
		groups[row.CaseID] = row.GroupID
	}
	return groups, nil
}

// CasesOfGroup lists the cases of a group that are not withdrawn, by id.
func (tx *Tx) CasesOfGroup(programme competency.ProgrammeID, group string) ([]competency.Case, error) {
	return tx.someCases("id IN (SELECT case_id FROM case_groups WHERE programme_id = ? AND group_id = ?)", programme, programme, group)
}

// CasesOn lists the cases of an operation date, as it is kept, that are not withdrawn, by id.
func (tx *Tx) CasesOn(programme competency.ProgrammeID, operatedOn string) ([]competency.Case, error) {
	return tx.someCases("operated_on = ?", programme, operatedOn)
}

// someCases lists a programme's cases of one condition that are not withdrawn, by id.
func (tx *Tx) someCases(condition string, programme competency.ProgrammeID, args ...any) ([]competency.Case, error) {
	var rows []caseRow
	err := tx.db.Where("programme_id = ? AND status <> ?", programme, competency.CaseWithdrawn).Where(condition, args...).Order("id").Find(&rows).Error
	if err != nil {
		return nil, translate("cases", err)
	}
	list := make([]competency.Case, len(rows))
	for i, row := range rows {
		if list[i], err = row.toCase(); err != nil {
			return nil, err
		}
	}
	return list, nil
}
