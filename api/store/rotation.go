package store

import (
	"time"

	"gorm.io/gorm"

	"isthmus/competency"
)

// Rotation is where a member works for a stretch of days, both included; an empty Until means until further notice.
type Rotation struct {
	ID          string
	Programme   competency.ProgrammeID
	Person      competency.PersonID
	Site        string
	From, Until competency.Day
	CreatedBy   competency.PersonID
	CreatedAt   time.Time
}

type rotationRow struct {
	ID          string
	ProgrammeID competency.ProgrammeID
	PersonID    competency.PersonID
	Site        string
	FromDay     competency.Day
	UntilDay    competency.Day
	CreatedBy   competency.PersonID
	CreatedAt   time.Time `gorm:"autoCreateTime:false"`
}

// TableName names the table.
func (rotationRow) TableName() string { return "rotations" }

func (r rotationRow) rotation() Rotation {
	return Rotation{r.ID, r.ProgrammeID, r.PersonID, r.Site, r.FromDay, r.UntilDay, r.CreatedBy, utc(r.CreatedAt)}
}

// CreateRotation keeps a new rotation. The error is ErrReference when programme or person is not there.
func (tx *Tx) CreateRotation(r Rotation) error {
	row := rotationRow{r.ID, r.Programme, r.Person, r.Site, r.From, r.Until, r.CreatedBy, utc(r.CreatedAt)}
	return tx.insert("create rotation", r.Programme, &row)
}

// EndRotation sets the last day of a rotation. The error is ErrNotFound.
func (tx *Tx) EndRotation(programme competency.ProgrammeID, id string, until competency.Day) error {
	if err := tx.mayWrite(programme); err != nil {
		return err
	}
	changed := tx.db.Model(&rotationRow{}).Where("programme_id = ? AND id = ?", programme, id).Update("until_day", until)
	if changed.Error == nil && changed.RowsAffected == 0 {
		return translate("end rotation", gorm.ErrRecordNotFound)
	}
	return translate("end rotation", changed.Error)
}

// DeleteRotation removes a rotation that was entered by mistake. The error is ErrNotFound.
func (tx *Tx) DeleteRotation(programme competency.ProgrammeID, id string) error {
	if err := tx.mayWrite(programme); err != nil {
		return err
	}
	gone := tx.db.Where("programme_id = ? AND id = ?", programme, id).Delete(&rotationRow{})
	if gone.Error == nil && gone.RowsAffected == 0 {
		return translate("delete rotation", gorm.ErrRecordNotFound)
	}
	return translate("delete rotation", gone.Error)
}

// RotationByID loads a rotation. The error is ErrNotFound.
func (tx *Tx) RotationByID(programme competency.ProgrammeID, id string) (Rotation, error) {
	var row rotationRow
	err := tx.take("rotation", &row, "programme_id = ? AND id = ?", programme, id)
	return row.rotation(), err
}

// Rotations lists a programme's rotations, of one person when given, by person and then earliest first.
func (tx *Tx) Rotations(programme competency.ProgrammeID, person competency.PersonID) ([]Rotation, error) {
	query := tx.db.Where("programme_id = ?", programme)
	if person != "" {
		query = query.Where("person_id = ?", person)
	}
	var rows []rotationRow
	if err := query.Order("person_id, from_day, id").Find(&rows).Error; err != nil {
		return nil, translate("rotations", err)
	}
	list := make([]Rotation, len(rows))
	for i, row := range rows {
		list[i] = row.rotation()
	}
	return list, nil
}
