package store

import (
	"isthmus/assessment"
	"isthmus/competency"
)

// editionHistory is the acts on scenarios of a library.
var editionHistory = history{"edition act", "edition_acts", "scenario"}

type editionActRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	Scenario    assessment.ScenarioID  `gorm:"primaryKey"`
	Done        doneRow                `gorm:"embedded"`
}

// TableName names the table.
func (editionActRow) TableName() string { return editionHistory.table }

// AddEditionAct adds an act to an edition's history. The error is ErrReference when the library has no such edition.
func (tx *Tx) AddEditionAct(programme competency.ProgrammeID, id assessment.ScenarioID, d Done) error {
	next, err := tx.next(editionHistory, programme, string(id), d)
	if err != nil {
		return err
	}
	return tx.insert("add edition act", programme, &editionActRow{programme, id, next})
}

// EditionActs lists what was done to an edition, first act first.
func (tx *Tx) EditionActs(programme competency.ProgrammeID, id assessment.ScenarioID) ([]Done, error) {
	return tx.done(editionHistory, programme, string(id))
}
