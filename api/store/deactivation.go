package store

import (
	"time"

	"gorm.io/gorm"

	"isthmus/competency"
)

// The states of a deactivation.
const (
	deactivationInForce = "in-force"
	deactivationLifted  = "lifted"
)

// Deactivation keeps a member out of a programme. What they did there stays as it is.
type Deactivation struct {
	ID        string
	Programme competency.ProgrammeID
	Person    competency.PersonID
	By        competency.PersonID // empty for the operator at the command line
	At        time.Time
}

type deactivationRow struct {
	ID          string
	ProgrammeID competency.ProgrammeID
	PersonID    competency.PersonID
	Status      string
	CreatedBy   *competency.PersonID
	CreatedAt   time.Time `gorm:"autoCreateTime:false"`
	LiftedAt    *time.Time
}

// TableName names the table.
func (deactivationRow) TableName() string { return "deactivations" }

// Deactivate keeps a member out from now on. The error is ErrDuplicate when they are out already.
func (tx *Tx) Deactivate(d Deactivation) error {
	row := deactivationRow{d.ID, d.Programme, d.Person, deactivationInForce, personOrNil(d.By), utc(d.At), nil}
	return tx.insert("deactivate", d.Programme, &row)
}

// LiftDeactivation lets a member in again, at the act's time. The error is ErrNotFound when they are not kept out.
func (tx *Tx) LiftDeactivation(programme competency.ProgrammeID, person competency.PersonID) error {
	if err := tx.mayWrite(programme); err != nil {
		return err
	}
	changed := tx.db.Model(&deactivationRow{}).Where("programme_id = ? AND person_id = ? AND status = ?", programme, person, deactivationInForce).
		Updates(map[string]any{"status": deactivationLifted, "lifted_at": tx.act.At})
	if changed.Error == nil && changed.RowsAffected == 0 {
		return translate("lift deactivation", gorm.ErrRecordNotFound)
	}
	return translate("lift deactivation", changed.Error)
}

// Deactivated tells since when each member who is kept out of a programme is.
func (tx *Tx) Deactivated(programme competency.ProgrammeID) (map[competency.PersonID]time.Time, error) {
	var rows []deactivationRow
	err := tx.db.Where("programme_id = ? AND status = ?", programme, deactivationInForce).Find(&rows).Error
	since := make(map[competency.PersonID]time.Time, len(rows))
	for _, row := range rows {
		since[row.PersonID] = utc(row.CreatedAt)
	}
	return since, translate("deactivated", err)
}

// Shut reports whether a person may not sign in: a programme keeps them out, and no programme lets them in today or later or has an
// invitation open for them. Who was never kept out is never shut.
func (tx *Tx) Shut(person competency.PersonID, today competency.Day, now time.Time) (bool, error) {
	var shut bool
	err := tx.db.Raw(`SELECT EXISTS (SELECT 1 FROM deactivations d WHERE d.person_id = ? AND d.status = 'in-force')
		AND NOT EXISTS (SELECT 1 FROM memberships m WHERE m.person_id = ? AND (m.until_day = '' OR m.until_day >= ?) AND `+notKeptOut+`)
		AND NOT EXISTS (SELECT 1 FROM invitations i JOIN people p ON p.email = i.email WHERE p.id = ? AND i.status = 'open' AND i.expires_at > ?)`,
		person, person, today, person, utc(now)).Scan(&shut).Error
	return shut, translate("shut", err)
}
