package store

import (
	"time"

	"isthmus/assessment"
	"isthmus/assessment/af"
	"isthmus/competency"
)

// Edition is a scenario in a programme's library with the times of its row.
type Edition struct {
	assessment.Edition
	CreatedAt time.Time
	UpdatedAt time.Time
}

// EditionHead is an edition in a list, without its scenario.
type EditionHead struct {
	assessment.Edition // its scenario is empty
	Title              string
	Pattern            af.Pattern // empty while the history contradicts itself
	Operation          string
	UpdatedAt          time.Time
	Live               ScenarioHead // what can be answered meanwhile; of version 0 when nothing can
}

// ScenarioHead is what lists show of a scenario.
type ScenarioHead struct {
	Version   int
	Title     string
	Pattern   af.Pattern
	Operation string
}

// HeadOf is what lists show of a scenario.
func HeadOf(s assessment.Scenario) ScenarioHead {
	derived, err := s.Pattern()
	if err != nil {
		derived.Pattern = "" // a draft whose history contradicts itself
	}
	return ScenarioHead{Version: s.Version, Title: s.Title, Pattern: derived.Pattern, Operation: s.Operation.Primary}
}

type editionRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	Scenario    assessment.ScenarioID  `gorm:"primaryKey"`
	Life        lifeRow                `gorm:"embedded"`
	ReviewerID  *competency.PersonID
	Title       string
	Pattern     af.Pattern
	Operation   string
}

// TableName names the table.
func (editionRow) TableName() string { return "editions" }

func fromEdition(programme competency.ProgrammeID, e assessment.Edition, at time.Time) (editionRow, error) {
	head := HeadOf(e.Scenario)
	life, err := fromLife(e.Life, e.Scenario, at)
	return editionRow{programme, e.ID, life, personOrNil(competency.PersonID(e.Reviewer)), head.Title, head.Pattern, head.Operation}, err
}

// edition is the row without its scenario.
func (r editionRow) edition() (assessment.Edition, error) {
	life, err := r.Life.life()
	life.Reviewer = string(personOrNone(r.ReviewerID))
	return assessment.Edition{ID: r.Scenario, Life: life}, err
}

// CreateEdition adds a scenario to a programme's library. The error is ErrDuplicate when the library has its id already.
func (tx *Tx) CreateEdition(programme competency.ProgrammeID, e assessment.Edition, at time.Time) error {
	row, err := fromEdition(programme, e, at)
	if err != nil {
		return err
	}
	return tx.insert("create edition", programme, &row)
}

// EditionByID loads an edition with its scenario. The error is ErrNotFound, also for a starter scenario nobody touched.
func (tx *Tx) EditionByID(programme competency.ProgrammeID, id assessment.ScenarioID) (Edition, error) {
	var row editionRow
	if err := tx.take("edition", &row, "programme_id = ? AND scenario = ?", programme, id); err != nil {
		return Edition{}, err
	}
	e, err := row.edition()
	if err != nil {
		return Edition{}, err
	}
	return Edition{Edition: e, CreatedAt: utc(row.Life.CreatedAt), UpdatedAt: utc(row.Life.UpdatedAt)}, readStored("scenario", row.Life.Body, &e.Scenario)
}

// SaveEdition replaces an edition whose stored revision is expected; e carries the new one. The error is ErrStale when the revision is
// another by now, ErrNotFound when the library has no such edition.
func (tx *Tx) SaveEdition(programme competency.ProgrammeID, e assessment.Edition, expected int, at time.Time) error {
	if err := tx.mayWrite(programme); err != nil {
		return err
	}
	row, err := fromEdition(programme, e, at)
	if err != nil {
		return err
	}
	changed := tx.db.Model(&editionRow{}).Where("programme_id = ? AND scenario = ? AND revision = ?", programme, e.ID, expected).
		Select("*").Omit("ProgrammeID", "Scenario", "CreatedAt").Updates(&row)
	return replaced("save edition", changed, func() error {
		_, err := tx.EditionByID(programme, e.ID)
		return err
	})
}

// Editions lists a programme's library by id, without the starter scenarios nobody touched.
func (tx *Tx) Editions(programme competency.ProgrammeID) ([]EditionHead, error) {
	var rows []struct {
		Row           editionRow `gorm:"embedded"`
		LiveTitle     string
		LivePattern   af.Pattern
		LiveOperation string
	}
	err := tx.db.Table("editions AS e").
		Select(`e.scenario, e.version, e.status, e.live_version, e.latest_version, e.authors, e.reviewer_id, e.title, e.pattern, e.operation,
			e.updated_at, e.revision, v.title AS live_title, v.pattern AS live_pattern, v.operation AS live_operation`).
		Joins(joinLive).Where("e.programme_id = ?", programme).Order("e.scenario").Find(&rows).Error
	if err != nil {
		return nil, translate("editions", err)
	}
	list := make([]EditionHead, len(rows))
	for i, r := range rows {
		e, err := r.Row.edition()
		if err != nil {
			return nil, err
		}
		list[i] = EditionHead{
			Edition: e, Title: r.Row.Title, Pattern: r.Row.Pattern, Operation: r.Row.Operation, UpdatedAt: utc(r.Row.Life.UpdatedAt),
			Live: ScenarioHead{e.LiveVersion, r.LiveTitle, r.LivePattern, r.LiveOperation},
		}
	}
	return list, nil
}

// joinLive brings an edition's live version, where there is one.
const joinLive = `LEFT JOIN scenario_versions v ON v.programme_id = e.programme_id AND v.scenario = e.scenario AND v.version = e.live_version`
