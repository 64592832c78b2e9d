package store

import (
	"time"

	"gorm.io/gorm"

	"isthmus/assessment"
	"isthmus/competency"
)

// sittings is a query for sittings with what other tables know of them.
func (tx *Tx) sittings(programme competency.ProgrammeID) *gorm.DB {
	return tx.db.Table("sittings AS s").Select(`s.*, t.name AS trainee_name, p.id AS plan_id, (SELECT COUNT(*) FROM plans b WHERE b.programme_id = s.programme_id
		AND b.trainee_id = s.trainee_id AND b.scenario = s.scenario AND b.attempt < s.attempt AND b.sitting_id IS NULL) AS practised_before`).
		Joins("JOIN people t ON t.id = s.trainee_id").Joins("LEFT JOIN plans p ON p.sitting_id = s.id").Where("s.programme_id = ?", programme)
}

// SittingByID loads a sitting of a programme. The error is ErrNotFound.
func (tx *Tx) SittingByID(programme competency.ProgrammeID, id SittingID) (Sitting, error) {
	var row namedSitting
	if err := tx.sittings(programme).Where("s.id = ?", id).Take(&row).Error; err != nil {
		return Sitting{}, translate("sitting", err)
	}
	return row.sitting()
}

// SittingOf loads a trainee's sitting of one version of a scenario. The error is ErrNotFound when there was none.
func (tx *Tx) SittingOf(programme competency.ProgrammeID, trainee competency.PersonID, scenario assessment.ScenarioID, version int) (Sitting, error) {
	var row namedSitting
	err := tx.sittings(programme).Where("s.trainee_id = ? AND s.scenario = ? AND s.scenario_version = ?", trainee, scenario, version).Take(&row).Error
	if err != nil {
		return Sitting{}, translate("sitting", err)
	}
	return row.sitting()
}

// Sittings lists a programme's sittings, newest first.
func (tx *Tx) Sittings(programme competency.ProgrammeID, filter SittingFilter, page Page) ([]Sitting, string, error) {
	query := tx.sittings(programme)
	if filter.Trainee != "" {
		query = query.Where("s.trainee_id = ?", filter.Trainee)
	}
	if filter.Scenario != "" {
		query = query.Where("s.scenario = ?", filter.Scenario)
	}
	if filter.Status != "" {
		query = query.Where("s.status = ?", filter.Status)
	}
	if filter.Trainees != nil {
		query = query.Where("s.trainee_id IN ?", filter.Trainees)
	}
	query, err := newestFirst(query, "s.started_at", "s.id", page)
	if err != nil {
		return nil, "", err
	}
	var rows []namedSitting
	if err := query.Find(&rows).Error; err != nil {
		return nil, "", translate("sittings", err)
	}
	return tryPageOf(rows, page, namedSitting.sitting, func(r namedSitting) string { return cursorAt(r.Row.StartedAt, string(r.Row.ID)) })
}

// onlyOpen stands in the query's own text: an index on the open sittings alone is used only then.
const onlyOpen = "status = 'open'"

// SittingsPast lists the ids of a programme's open sittings that ended before a time, the earliest first. It is asked at every request.
func (tx *Tx) SittingsPast(programme competency.ProgrammeID, end time.Time) ([]SittingID, error) {
	var ids []SittingID
	err := tx.db.Model(&sittingRow{}).Where(onlyOpen).Where("programme_id = ? AND ends_at < ?", programme, utc(end)).
		Order("ends_at, id").Pluck("id", &ids).Error
	return ids, translate("sittings past their end", err)
}

// OpenSitting is where and until when somebody has a test open.
type OpenSitting struct {
	Programme competency.ProgrammeID
	ID        SittingID
	Scenario  assessment.ScenarioID
	EndsAt    time.Time // zero: no time is set
}

// OpenSittingsOf lists where a person has a test open, in whatever programme: what lesions do is the same everywhere.
func (tx *Tx) OpenSittingsOf(person competency.PersonID) ([]OpenSitting, error) {
	var rows []sittingRow
	err := tx.db.Select("programme_id, id, scenario, ends_at").Where(onlyOpen).Where("trainee_id = ?", person).
		Order("programme_id").Find(&rows).Error
	open := make([]OpenSitting, len(rows))
	for i, r := range rows {
		open[i] = OpenSitting{r.ProgrammeID, r.ID, r.Scenario, timeOrZero(r.EndsAt)}
	}
	return open, translate("open sittings", err)
}
