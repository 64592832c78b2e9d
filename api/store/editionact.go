package store

import (
	"time"

	"isthmus/assessment"
	"isthmus/competency"
)

// EditionAct is something done to an edition. It never changes.
type EditionAct struct {
	Scenario assessment.ScenarioID
	Kind     string // create, submit, return, approve, retire, revise
	By       competency.PersonID
	ByName   string // filled when loaded
	At       time.Time
	Reason   string
	Version  int
}

type editionActRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	Scenario    assessment.ScenarioID  `gorm:"primaryKey"`
	Seq         int                    `gorm:"primaryKey;autoIncrement:false"`
	Kind        string
	ByID        competency.PersonID
	At          time.Time
	Reason      string
	Version     int
}

// TableName names the table.
func (editionActRow) TableName() string { return "edition_acts" }

// AddEditionAct adds an act to an edition's history. The error is ErrReference when the library has no such edition.
func (tx *Tx) AddEditionAct(programme competency.ProgrammeID, a EditionAct) error {
	var last int
	err := tx.db.Model(&editionActRow{}).Select("COALESCE(MAX(seq), 0)").Where("programme_id = ? AND scenario = ?", programme, a.Scenario).Scan(&last).Error
	if err != nil {
		return translate("add edition act", err)
	}
	row := editionActRow{programme, a.Scenario, last + 1, a.Kind, a.By, utc(a.At), a.Reason, a.Version}
	return tx.insert("add edition act", programme, &row)
}

// EditionActs lists what was done to an edition, first act first.
func (tx *Tx) EditionActs(programme competency.ProgrammeID, id assessment.ScenarioID) ([]EditionAct, error) {
	var rows []struct {
		Row    editionActRow `gorm:"embedded"`
		ByName string
	}
	err := tx.db.Table("edition_acts AS a").Select("a.*, p.name AS by_name").Joins("JOIN people p ON p.id = a.by_id").
		Where("a.programme_id = ? AND a.scenario = ?", programme, id).Order("a.seq").Find(&rows).Error
	if err != nil {
		return nil, translate("edition acts", err)
	}
	list := make([]EditionAct, len(rows))
	for i, named := range rows {
		r := named.Row
		list[i] = EditionAct{r.Scenario, r.Kind, r.ByID, named.ByName, utc(r.At), r.Reason, r.Version}
	}
	return list, nil
}
