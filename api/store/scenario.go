package store

import (
	"encoding/json"
	"fmt"
	"time"

	"gorm.io/gorm/clause"

	"isthmus/assessment"
	"isthmus/assessment/af"
	"isthmus/competency"
)

// ScenarioVersion is a version of a scenario that went live or was answered. It never changes.
type ScenarioVersion struct {
	Scenario   assessment.Scenario // whole; in a list only what ScenarioHead has
	Pattern    af.Pattern
	Author     competency.PersonID // empty for a starter scenario
	ApprovedBy competency.PersonID // empty for a starter scenario
	KeptAt     time.Time           // when it went live, or was first answered
}

type scenarioVersionRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	Scenario    assessment.ScenarioID  `gorm:"primaryKey"`
	Version     int                    `gorm:"primaryKey;autoIncrement:false"`
	Title       string
	Pattern     af.Pattern
	Operation   string
	Body        string
	AuthorID    *competency.PersonID
	ApprovedBy  *competency.PersonID
	KeptAt      time.Time
}

// TableName names the table.
func (scenarioVersionRow) TableName() string { return "scenario_versions" }

func fromScenarioVersion(programme competency.ProgrammeID, v ScenarioVersion) (scenarioVersionRow, error) {
	head := HeadOf(v.Scenario)
	row := scenarioVersionRow{
		ProgrammeID: programme, Scenario: v.Scenario.ID, Version: v.Scenario.Version, Title: head.Title, Pattern: head.Pattern, Operation: head.Operation,
		AuthorID: personOrNil(v.Author), ApprovedBy: personOrNil(v.ApprovedBy), KeptAt: utc(v.KeptAt),
	}
	body, err := json.Marshal(v.Scenario)
	if err != nil {
		return row, fmt.Errorf("scenario %s: %w", v.Scenario.ID, err)
	}
	row.Body = string(body)
	return row, nil
}

// AddScenarioVersion keeps a version for good. The error is ErrDuplicate when the programme has that version already.
func (tx *Tx) AddScenarioVersion(programme competency.ProgrammeID, v ScenarioVersion) error {
	row, err := fromScenarioVersion(programme, v)
	if err != nil {
		return err
	}
	return tx.insert("add scenario version", programme, &row)
}

// KeepScenarioVersion keeps a version for good unless the programme has it already.
func (tx *Tx) KeepScenarioVersion(programme competency.ProgrammeID, v ScenarioVersion) error {
	if err := tx.mayWrite(programme); err != nil {
		return err
	}
	row, err := fromScenarioVersion(programme, v)
	if err != nil {
		return err
	}
	return translate("keep scenario version", tx.db.Clauses(clause.OnConflict{DoNothing: true}).Create(&row).Error)
}

// ScenarioVersion loads a version that was kept. The error is ErrNotFound.
func (tx *Tx) ScenarioVersion(programme competency.ProgrammeID, id assessment.ScenarioID, version int) (ScenarioVersion, error) {
	var row scenarioVersionRow
	if err := tx.take("scenario version", &row, "programme_id = ? AND scenario = ? AND version = ?", programme, id, version); err != nil {
		return ScenarioVersion{}, err
	}
	v := row.version()
	return v, readStored("scenario", row.Body, &v.Scenario)
}

// ScenarioVersions lists the versions kept of a scenario, newest first, without the scenarios themselves.
func (tx *Tx) ScenarioVersions(programme competency.ProgrammeID, id assessment.ScenarioID) ([]ScenarioVersion, error) {
	var rows []scenarioVersionRow
	err := tx.db.Omit("body").Where("programme_id = ? AND scenario = ?", programme, id).Order("version DESC").Find(&rows).Error
	if err != nil {
		return nil, translate("scenario versions", err)
	}
	list := make([]ScenarioVersion, len(rows))
	for i, row := range rows {
		list[i] = row.version()
	}
	return list, nil
}

// version is the row without its body.
func (r scenarioVersionRow) version() ScenarioVersion {
	v := ScenarioVersion{Pattern: r.Pattern, Author: personOrNone(r.AuthorID), ApprovedBy: personOrNone(r.ApprovedBy), KeptAt: utc(r.KeptAt)}
	v.Scenario.ID, v.Scenario.Version, v.Scenario.Title, v.Scenario.Operation.Primary = r.Scenario, r.Version, r.Title, r.Operation
	return v
}

// liveRow is an edition's live version; the body is nil when nothing is live.
type liveRow struct {
	Scenario assessment.ScenarioID
	Body     *string
}

// LiveScenarios gives what a programme's library has live, by id. An id with nothing live is there with nil: it is not the starter's
// scenario that counts then. With ids given it looks at these only.
func (tx *Tx) LiveScenarios(programme competency.ProgrammeID, ids ...assessment.ScenarioID) (map[assessment.ScenarioID]*assessment.Scenario, error) {
	query := tx.db.Table("editions AS e").Select("e.scenario, v.body").Joins(joinLive).Where("e.programme_id = ?", programme)
	if len(ids) > 0 {
		query = query.Where("e.scenario IN ?", ids)
	}
	var rows []liveRow
	if err := query.Find(&rows).Error; err != nil {
		return nil, translate("live scenarios", err)
	}
	live := make(map[assessment.ScenarioID]*assessment.Scenario, len(rows))
	for _, row := range rows {
		live[row.Scenario] = nil
		if row.Body == nil {
			continue
		}
		s := &assessment.Scenario{}
		if err := readStored("scenario", *row.Body, s); err != nil {
			return nil, err
		}
		live[row.Scenario] = s
	}
	return live, nil
}
