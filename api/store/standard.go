package store

import (
	"time"

	"isthmus/competency"
)

// Standard is one version of a programme's thresholds, as the file that was handed in. It never changes.
type Standard struct {
	Programme   competency.ProgrammeID
	Version     int
	InForceFrom competency.Day
	YAML        string
	CreatedBy   competency.PersonID // empty: the operator, at the command line
	CreatedAt   time.Time
}

type standardRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	Version     int                    `gorm:"primaryKey;autoIncrement:false"`
	InForceFrom competency.Day
	YAML        string `gorm:"column:yaml"`
	CreatedBy   *competency.PersonID
	CreatedAt   time.Time `gorm:"autoCreateTime:false"`
}

// TableName names the table.
func (standardRow) TableName() string { return "standards" }

func (r standardRow) standard() Standard {
	return Standard{r.ProgrammeID, r.Version, r.InForceFrom, r.YAML, personOrNone(r.CreatedBy), utc(r.CreatedAt)}
}

// AddStandard adds a version. The error is ErrDuplicate when the programme has that version already.
func (tx *Tx) AddStandard(s Standard) error {
	row := standardRow{s.Programme, s.Version, s.InForceFrom, s.YAML, personOrNil(s.CreatedBy), utc(s.CreatedAt)}
	return tx.insert("add standard", s.Programme, &row)
}

// Standards lists a programme's versions, newest first.
func (tx *Tx) Standards(programme competency.ProgrammeID) ([]Standard, error) {
	var rows []standardRow
	if err := tx.db.Where("programme_id = ?", programme).Order("version DESC").Find(&rows).Error; err != nil {
		return nil, translate("standards", err)
	}
	list := make([]Standard, len(rows))
	for i, row := range rows {
		list[i] = row.standard()
	}
	return list, nil
}

// StandardByVersion loads one version. The error is ErrNotFound.
func (tx *Tx) StandardByVersion(programme competency.ProgrammeID, version int) (Standard, error) {
	var row standardRow
	err := tx.take("standard", &row, "programme_id = ? AND version = ?", programme, version)
	return row.standard(), err
}

// StandardInForce loads the version that holds on a day: of those that had come into force by then the latest to do so, and of several
// from the same day the highest. The error is ErrNotFound when there is none.
func (tx *Tx) StandardInForce(programme competency.ProgrammeID, day competency.Day) (Standard, error) {
	var row standardRow
	err := tx.db.Where("programme_id = ? AND in_force_from <= ?", programme, day).Order("in_force_from DESC, version DESC").Limit(1).Take(&row).Error
	return row.standard(), translate("standard", err)
}
