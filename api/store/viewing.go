package store

import (
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"isthmus/competency"
)

// What a reviewer is let see of the cohort's figures.
const (
	FiguresNone   = ""
	FiguresCounts = "counts" // how many trainees are in each state
	FiguresRows   = "rows"   // each trainee's line, without a name
)

// ViewingChoice is what a reviewer is let see: the records of chosen trainees, the cohort's figures, or both.
type ViewingChoice struct {
	Trainees []competency.PersonID `json:"trainees,omitempty"`
	Figures  string                `json:"figures,omitempty"`
}

// Viewing lets a reviewer see something until a last day, included. Rows are only added; the newest of a person holds.
type Viewing struct {
	ID        string
	Programme competency.ProgrammeID
	Person    competency.PersonID
	ViewingChoice
	Until competency.Day
	By    competency.PersonID
	At    time.Time
}

type viewingRow struct {
	ID          string
	ProgrammeID competency.ProgrammeID
	PersonID    competency.PersonID
	Choice      string
	UntilDay    competency.Day
	CreatedBy   competency.PersonID
	CreatedAt   time.Time `gorm:"autoCreateTime:false"`
}

// TableName names the table.
func (viewingRow) TableName() string { return "viewings" }

// AddViewing replaces what a reviewer is let see. The error is ErrReference when programme or person is not there.
func (tx *Tx) AddViewing(v Viewing) error {
	choice, err := json.Marshal(v.ViewingChoice)
	if err != nil {
		return err
	}
	row := viewingRow{v.ID, v.Programme, v.Person, string(choice), v.Until, v.By, utc(v.At)}
	return tx.insert("add viewing", v.Programme, &row)
}

// ViewingOf is what a reviewer was let see last, whether or not it has ended; nil when nobody ever chose anything.
func (tx *Tx) ViewingOf(programme competency.ProgrammeID, person competency.PersonID) (*Viewing, error) {
	var row viewingRow
	err := translate("viewing", tx.db.Where("programme_id = ? AND person_id = ?", programme, person).Order("created_at DESC, id DESC").Take(&row).Error)
	if errors.Is(err, ErrNotFound) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	v := Viewing{ID: row.ID, Programme: row.ProgrammeID, Person: row.PersonID, Until: row.UntilDay, By: row.CreatedBy, At: utc(row.CreatedAt)}
	if err := json.Unmarshal([]byte(row.Choice), &v.ViewingChoice); err != nil {
		return nil, fmt.Errorf("viewing %s: %w", row.ID, err)
	}
	return &v, nil
}

// EntriesOf lists the newest entries that a person left with one act in a programme's chain, at most so many.
func (tx *Tx) EntriesOf(programme competency.ProgrammeID, actor competency.PersonID, act string, most int) ([]AuditEntry, error) {
	var rows []auditEntryRow
	err := tx.db.Table("audit_entries AS e").Select("e.*").Where("e.programme_id = ? AND e.actor_id = ? AND e.act = ?", programme, actor, act).
		Order("e.seq DESC").Limit(most).Find(&rows).Error
	list := make([]AuditEntry, len(rows))
	for i, row := range rows {
		list[i] = row.entry()
	}
	return list, translate("entries", err)
}
