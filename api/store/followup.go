package store

import (
	"encoding/json"
	"fmt"
	"time"

	"isthmus/competency"
)

// FollowUp is one version of a follow-up of a case, with what the programme's rule made of it. It never changes.
type FollowUp struct {
	ID            competency.FollowUpID
	Programme     competency.ProgrammeID
	Case          competency.CaseID
	Version       int
	Content       competency.FollowUp
	Freedom       competency.Freedom
	FreedomReason string
	RuleVersion   int
	Reason        string // of the amendment; empty in the first version
	By            competency.PersonID
	At            time.Time
}

type followUpRow struct {
	ProgrammeID   competency.ProgrammeID `gorm:"primaryKey"`
	ID            competency.FollowUpID  `gorm:"primaryKey"`
	Version       int                    `gorm:"primaryKey;autoIncrement:false"`
	CaseID        competency.CaseID
	Month         int
	Content       string
	Freedom       competency.Freedom
	FreedomReason string
	RuleVersion   int
	Reason        string
	ByID          competency.PersonID
	At            time.Time
}

// TableName names the table.
func (followUpRow) TableName() string { return "follow_ups" }

func (r followUpRow) followUp() (FollowUp, error) {
	f := FollowUp{
		ID: r.ID, Programme: r.ProgrammeID, Case: r.CaseID, Version: r.Version, Freedom: r.Freedom, FreedomReason: r.FreedomReason,
		RuleVersion: r.RuleVersion, Reason: r.Reason, By: r.ByID, At: utc(r.At),
	}
	if err := json.Unmarshal([]byte(r.Content), &f.Content); err != nil {
		return f, fmt.Errorf("follow-up %s: %w", r.ID, err)
	}
	return f, nil
}

// AddFollowUp keeps a version of a follow-up for good. The error is ErrDuplicate when the version is there already, ErrReference when the
// programme has no such case.
func (tx *Tx) AddFollowUp(f FollowUp) error {
	content, err := json.Marshal(f.Content)
	if err != nil {
		return fmt.Errorf("follow-up %s: %w", f.ID, err)
	}
	row := followUpRow{
		f.Programme, f.ID, f.Version, f.Case, f.Content.Month, string(content), f.Freedom, f.FreedomReason, f.RuleVersion, f.Reason, f.By, utc(f.At),
	}
	return tx.insert("add follow-up", f.Programme, &row)
}

// FollowUps lists every version of every follow-up of a case: by id, so in the order they were begun, first version first.
func (tx *Tx) FollowUps(programme competency.ProgrammeID, id competency.CaseID) ([]FollowUp, error) {
	var rows []followUpRow
	if err := tx.db.Where("programme_id = ? AND case_id = ?", programme, id).Order("id, version").Find(&rows).Error; err != nil {
		return nil, translate("follow-ups", err)
	}
	list := make([]FollowUp, len(rows))
	for i, row := range rows {
		var err error
		if list[i], err = row.followUp(); err != nil {
			return nil, err
		}
	}
	return list, nil
}

// FollowUpByID loads the newest version of a follow-up. The error is ErrNotFound.
func (tx *Tx) FollowUpByID(programme competency.ProgrammeID, id competency.FollowUpID) (FollowUp, error) {
	var row followUpRow
	err := tx.db.Where("programme_id = ? AND id = ?", programme, id).Order("version DESC").Limit(1).Take(&row).Error
	if err != nil {
		return FollowUp{}, translate("follow-up", err)
	}
	return row.followUp()
}

// FollowedCase is a submitted case as the schedule of follow-ups needs it, with the newest version of each follow-up there is.
type FollowedCase struct {
	ID         competency.CaseID
	Trainee    competency.PersonID
	Supervisor competency.PersonID
	OperatedOn string
	Operation  string
	FollowUps  []competency.FollowUp
}

// FollowedCases lists the cases that were submitted and not withdrawn, as the filter narrows them (its status is not looked at), by id.
func (tx *Tx) FollowedCases(programme competency.ProgrammeID, filter CaseFilter) ([]FollowedCase, error) {
	query := tx.db.Table("cases AS c").Select("v.case_id, v.operated_on, v.operation, c.trainee_id, c.supervisor_id").
		Joins("JOIN case_versions v ON v.programme_id = c.programme_id AND v.case_id = c.id AND v.version = c.version").
		Where("c.programme_id = ? AND c.status <> ?", programme, competency.CaseWithdrawn).Order("c.id")
	if filter.Trainee != "" {
		query = query.Where("c.trainee_id = ?", filter.Trainee)
	}
	if filter.Supervisor != "" {
		query = query.Where("c.supervisor_id = ?", filter.Supervisor)
	}
	if filter.OwnOrSupervised != "" {
		query = query.Where("(c.trainee_id = ? OR c.supervisor_id = ?)", filter.OwnOrSupervised, filter.OwnOrSupervised)
	}
	var rows []struct {
		CaseID       competency.CaseID
		OperatedOn   string
		Operation    string
		TraineeID    competency.PersonID
		SupervisorID competency.PersonID
	}
	if err := query.Find(&rows).Error; err != nil {
		return nil, translate("followed cases", err)
	}
	done, err := tx.newestFollowUps(programme)
	if err != nil {
		return nil, err
	}
	list := make([]FollowedCase, len(rows))
	for i, r := range rows {
		list[i] = FollowedCase{r.CaseID, r.TraineeID, r.SupervisorID, r.OperatedOn, r.Operation, done[r.CaseID]}
	}
	return list, nil
}

// newestFollowUps gathers a programme's follow-ups by case, the newest version of each.
func (tx *Tx) newestFollowUps(programme competency.ProgrammeID) (map[competency.CaseID][]competency.FollowUp, error) {
	var rows []followUpRow
	err := tx.db.Table("follow_ups AS f").Where("f.programme_id = ?", programme).
		Where("NOT EXISTS (SELECT 1 FROM follow_ups n WHERE n.programme_id = f.programme_id AND n.id = f.id AND n.version > f.version)").
		Order("f.id").Find(&rows).Error
	if err != nil {
		return nil, translate("newest follow-ups", err)
	}
	done := map[competency.CaseID][]competency.FollowUp{}
	for _, row := range rows {
		f, err := row.followUp()
		if err != nil {
			return nil, err
		}
		done[f.Case] = append(done[f.Case], f.Content)
	}
	return done, nil
}
