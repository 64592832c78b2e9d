package store

import (
	"encoding/json"
	"fmt"
	"time"

	"isthmus/competency"
)

// Ratings lists every signed version of every case of a programme as a rating, those of withdrawn cases too, in the order of signing.
func (tx *Tx) Ratings(programme competency.ProgrammeID) ([]competency.Rated, error) {
	var rows []struct {
		CaseID          competency.CaseID
		TraineeID       competency.PersonID
		AssessorID      competency.PersonID
		HelpGiven       int
		SupervisionNext int
		SignedAt        time.Time
		Status          competency.CaseStatus
	}
	err := tx.db.Table("sign_offs AS s").Select("s.case_id, c.trainee_id, s.assessor_id, s.help_given, s.supervision_next, s.signed_at, c.status").
		Joins("JOIN cases c ON c.programme_id = s.programme_id AND c.id = s.case_id").
		Where("s.programme_id = ?", programme).Order("s.signed_at, s.id").Find(&rows).Error
	if err != nil {
		return nil, translate("ratings", err)
	}
	rated := make([]competency.Rated, len(rows))
	for i, r := range rows {
		rated[i] = competency.Rated{
			Case: r.CaseID, Trainee: r.TraineeID, Assessor: r.AssessorID, HelpGiven: r.HelpGiven, SupervisionNext: r.SupervisionNext,
			SignedAt: utc(r.SignedAt), Withdrawn: r.Status == competency.CaseWithdrawn,
		}
	}
	return rated, nil
}

// FollowUpsOnRecord gathers every version of every follow-up as evidence, by trainee; an empty trainee means all of them.
func (tx *Tx) FollowUpsOnRecord(programme competency.ProgrammeID, trainee competency.PersonID) (map[competency.PersonID][]competency.FollowUpOnRecord, error) {
	query := tx.db.Table("follow_ups AS f").Select("f.id, f.case_id, f.version, f.month, f.content, f.at, c.trainee_id").
		Joins("JOIN cases c ON c.programme_id = f.programme_id AND c.id = f.case_id").
		Where("f.programme_id = ?", programme).Order("f.id, f.version")
	if trainee != "" {
		query = query.Where("c.trainee_id = ?", trainee)
	}
	var rows []struct {
		Row       followUpRow `gorm:"embedded"`
		TraineeID competency.PersonID
	}
	if err := query.Find(&rows).Error; err != nil {
		return nil, translate("follow-ups on record", err)
	}
	by := map[competency.PersonID][]competency.FollowUpOnRecord{}
	for _, r := range rows {
		var content competency.FollowUp
		if err := json.Unmarshal([]byte(r.Row.Content), &content); err != nil {
			return nil, fmt.Errorf("follow-up %s: %w", r.Row.ID, err)
		}
		by[r.TraineeID] = append(by[r.TraineeID], competency.FollowUpOnRecord{
			ID: r.Row.ID, Case: r.Row.CaseID, Version: r.Row.Version, Month: r.Row.Month, Rhythm: content.SaysRhythm(), Died: content.Died, At: utc(r.Row.At),
		})
	}
	return by, nil
}
