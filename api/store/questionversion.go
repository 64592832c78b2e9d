package store

import (
	"encoding/json"
	"fmt"
	"time"

	"gorm.io/gorm/clause"

	"isthmus/assessment/question"
	"isthmus/competency"
)

// QuestionVersion is a version of an item that went live, or the starter's that it took the place of. It never changes.
type QuestionVersion struct {
	Item       question.Item
	Author     competency.PersonID // empty for a starter item
	ApprovedBy competency.PersonID // empty for a starter item
	KeptAt     time.Time
}

type questionVersionRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	Item        question.ItemID        `gorm:"primaryKey"`
	Version     int                    `gorm:"primaryKey;autoIncrement:false"`
	Body        string
	AuthorID    *competency.PersonID
	ApprovedBy  *competency.PersonID
	KeptAt      time.Time
}

// TableName names the table.
func (questionVersionRow) TableName() string { return "question_versions" }

// KeepQuestionVersion keeps a version for good unless the programme has it already.
func (tx *Tx) KeepQuestionVersion(programme competency.ProgrammeID, v QuestionVersion) error {
	if err := tx.mayWrite(programme); err != nil {
		return err
	}
	body, err := json.Marshal(v.Item)
	if err != nil {
		return fmt.Errorf("question %s: %w", v.Item.ID, err)
	}
	row := questionVersionRow{programme, v.Item.ID, v.Item.Version, string(body), personOrNil(v.Author), personOrNil(v.ApprovedBy), utc(v.KeptAt)}
	return translate("keep question version", tx.db.Clauses(clause.OnConflict{DoNothing: true}).Create(&row).Error)
}

// QuestionVersions lists the versions kept of a question, newest first.
func (tx *Tx) QuestionVersions(programme competency.ProgrammeID, id question.ItemID) ([]QuestionVersion, error) {
	var rows []questionVersionRow
	if err := tx.db.Where("programme_id = ? AND item = ?", programme, id).Order("version DESC").Find(&rows).Error; err != nil {
		return nil, translate("question versions", err)
	}
	list := make([]QuestionVersion, len(rows))
	for i, r := range rows {
		list[i] = QuestionVersion{Author: personOrNone(r.AuthorID), ApprovedBy: personOrNone(r.ApprovedBy), KeptAt: utc(r.KeptAt)}
		if err := readStored("question", r.Body, &list[i].Item); err != nil {
			return nil, err
		}
	}
	return list, nil
}

// QuestionsAsked says which version of each item that a programme has touched is asked there, by id; 0 is none. With what came with the
// program it is the whole bank: as a version never changes, two equal answers stand for equal banks.
func (tx *Tx) QuestionsAsked(programme competency.ProgrammeID) ([]question.Ref, error) {
	var rows []questionRow
	if err := tx.db.Select("item, live_version").Where("programme_id = ?", programme).Order("item").Find(&rows).Error; err != nil {
		return nil, translate("questions asked", err)
	}
	refs := make([]question.Ref, len(rows))
	for i, row := range rows {
		refs[i] = question.Ref{Item: row.Item, Version: row.Life.LiveVersion}
	}
	return refs, nil
}

// LiveQuestions are the items that a programme asks in its own version, by id.
func (tx *Tx) LiveQuestions(programme competency.ProgrammeID) ([]question.Item, error) {
	var bodies []string
	err := tx.db.Table("question_editions AS e").Joins("JOIN question_versions v ON v.programme_id = e.programme_id AND v.item = e.item AND v.version = e.live_version").
		Where("e.programme_id = ?", programme).Order("e.item").Pluck("v.body", &bodies).Error
	if err != nil {
		return nil, translate("live questions", err)
	}
	items := make([]question.Item, len(bodies))
	for i, body := range bodies {
		if err := readStored("question", body, &items[i]); err != nil {
			return nil, err
		}
	}
	return items, nil
}

// AllQuestionVersions are the items of every version kept, by id and version.
func (tx *Tx) AllQuestionVersions(programme competency.ProgrammeID) ([]question.Item, error) {
	var bodies []string
	err := tx.db.Model(&questionVersionRow{}).Where("programme_id = ?", programme).Order("item, version").Pluck("body", &bodies).Error
	if err != nil {
		return nil, translate("all question versions", err)
	}
	items := make([]question.Item, len(bodies))
	for i, body := range bodies {
		if err := readStored("question", body, &items[i]); err != nil {
			return nil, err
		}
	}
	return items, nil
}
