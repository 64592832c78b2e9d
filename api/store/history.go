package store

import (
	"time"

	"isthmus/competency"
)

// Done is one act in the history of a case, a scenario or a question. It never changes.
type Done struct {
	Kind    string // for example create, submit, return, approve
	By      competency.PersonID
	ByName  string // filled when loaded
	At      time.Time
	Reason  string
	Version int
}

// doneRow is the columns that every history has, beside whose it is.
type doneRow struct {
	Seq     int `gorm:"primaryKey;autoIncrement:false"`
	Kind    string
	ByID    competency.PersonID
	At      time.Time
	Reason  string
	Version int
}

// history is a table of acts: what an act is called in errors, and the column that says whose it is.
type history struct{ what, table, of string }

// next is the row of an act that follows the last one of its history.
func (tx *Tx) next(h history, programme competency.ProgrammeID, id string, d Done) (doneRow, error) {
	var last int
	err := tx.db.Table(h.table).Select("COALESCE(MAX(seq), 0)").Where("programme_id = ? AND "+h.of+" = ?", programme, id).Scan(&last).Error
	return doneRow{last + 1, d.Kind, d.By, utc(d.At), d.Reason, d.Version}, translate("add "+h.what, err)
}

// done lists a history, first act first.
func (tx *Tx) done(h history, programme competency.ProgrammeID, id string) ([]Done, error) {
	var rows []struct {
		Row    doneRow `gorm:"embedded"`
		ByName string
	}
	err := tx.db.Table(h.table+" AS a").Select("a.seq, a.kind, a.by_id, a.at, a.reason, a.version, p.name AS by_name").Joins("JOIN people p ON p.id = a.by_id").
		Where("a.programme_id = ? AND a."+h.of+" = ?", programme, id).Order("a.seq").Find(&rows).Error
	if err != nil {
		return nil, translate(h.what+"s", err)
	}
	list := make([]Done, len(rows))
	for i, named := range rows {
		r := named.Row
		list[i] = Done{r.Kind, r.ByID, named.ByName, utc(r.At), r.Reason, r.Version}
	}
	return list, nil
}
