package store

import (
	"encoding/json"
	"fmt"
	"time"

	"isthmus/assessment"
	"isthmus/assessment/question"
	"isthmus/competency"
)

// Question is an item in a programme's bank with the times of its row.
type Question struct {
	question.Edition
	CreatedAt time.Time
	UpdatedAt time.Time
}

type questionRow struct {
	ProgrammeID   competency.ProgrammeID `gorm:"primaryKey"`
	Item          question.ItemID        `gorm:"primaryKey"`
	Version       int
	Status        assessment.Status
	LiveVersion   int
	LatestVersion int
	Authors       string
	ReviewerID    *competency.PersonID
	Body          string
	CreatedAt     time.Time `gorm:"autoCreateTime:false"`
	UpdatedAt     time.Time `gorm:"autoUpdateTime:false"`
	Revision      int
}

// TableName names the table.
func (questionRow) TableName() string { return "question_editions" }

func fromQuestion(programme competency.ProgrammeID, e question.Edition, at time.Time) (questionRow, error) {
	row := questionRow{
		ProgrammeID: programme, Item: e.ID, Version: e.Version, Status: e.Status, LiveVersion: e.LiveVersion, LatestVersion: e.LatestVersion,
		ReviewerID: personOrNil(competency.PersonID(e.Reviewer)), CreatedAt: utc(at), UpdatedAt: utc(at), Revision: e.Revision,
	}
	for _, part := range []struct {
		into  *string
		value any
	}{{&row.Authors, e.Authors}, {&row.Body, e.Item}} {
		data, err := json.Marshal(part.value)
		if err != nil {
			return row, fmt.Errorf("question %s: %w", e.ID, err)
		}
		*part.into = string(data)
	}
	return row, nil
}

// question is the edition as it was kept.
func (r questionRow) question() (Question, error) {
	q := Question{
		Edition: question.Edition{ID: r.Item, Life: assessment.Life{
			Version: r.Version, Status: r.Status, Reviewer: string(personOrNone(r.ReviewerID)), Revision: r.Revision,
			LiveVersion: r.LiveVersion, LatestVersion: r.LatestVersion,
		}},
		CreatedAt: utc(r.CreatedAt), UpdatedAt: utc(r.UpdatedAt),
	}
	if err := json.Unmarshal([]byte(r.Authors), &q.Authors); err != nil {
		return q, fmt.Errorf("authors of question %s: %w", r.Item, err)
	}
	return q, readItem(r.Body, &q.Item)
}

// readItem reads a stored item.
func readItem(body string, into *question.Item) error {
	if err := json.Unmarshal([]byte(body), into); err != nil {
		return fmt.Errorf("stored question: %w", err)
	}
	return nil
}

// CreateQuestion adds an item to a programme's bank. The error is ErrDuplicate when the bank has its id already.
func (tx *Tx) CreateQuestion(programme competency.ProgrammeID, e question.Edition, at time.Time) error {
	row, err := fromQuestion(programme, e, at)
	if err != nil {
		return err
	}
	return tx.insert("create question", programme, &row)
}

// QuestionByID loads an item of a programme's bank. The error is ErrNotFound, also for a starter item nobody touched.
func (tx *Tx) QuestionByID(programme competency.ProgrammeID, id question.ItemID) (Question, error) {
	var row questionRow
	if err := tx.take("question", &row, "programme_id = ? AND item = ?", programme, id); err != nil {
		return Question{}, err
	}
	return row.question()
}

// SaveQuestion replaces an edition whose stored revision is expected; e carries the new one. The error is ErrStale when the revision is
// another by now, ErrNotFound when the bank has no such item.
func (tx *Tx) SaveQuestion(programme competency.ProgrammeID, e question.Edition, expected int, at time.Time) error {
	if err := tx.mayWrite(programme); err != nil {
		return err
	}
	row, err := fromQuestion(programme, e, at)
	if err != nil {
		return err
	}
	changed := tx.db.Model(&questionRow{}).Where("programme_id = ? AND item = ? AND revision = ?", programme, e.ID, expected).
		Select("*").Omit("ProgrammeID", "Item", "CreatedAt").Updates(&row)
	if changed.Error != nil {
		return translate("save question", changed.Error)
	}
	if changed.RowsAffected == 1 {
		return nil
	}
	if _, err := tx.QuestionByID(programme, e.ID); err != nil {
		return err
	}
	return fmt.Errorf("save question: %w", ErrStale)
}

// Questions lists a programme's bank by id, without the starter items nobody touched.
func (tx *Tx) Questions(programme competency.ProgrammeID) ([]Question, error) {
	var rows []questionRow
	if err := tx.db.Where("programme_id = ?", programme).Order("item").Find(&rows).Error; err != nil {
		return nil, translate("questions", err)
	}
	list := make([]Question, len(rows))
	for i, row := range rows {
		var err error
		if list[i], err = row.question(); err != nil {
			return nil, err
		}
	}
	return list, nil
}

// QuestionAct is something done to a question. It never changes.
type QuestionAct struct {
	Item    question.ItemID
	Kind    string // create, import, submit, return, approve, retire, revise
	By      competency.PersonID
	ByName  string // filled when loaded
	At      time.Time
	Reason  string
	Version int
}

type questionActRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	Item        question.ItemID        `gorm:"primaryKey"`
	Seq         int                    `gorm:"primaryKey;autoIncrement:false"`
	Kind        string
	ByID        competency.PersonID
	At          time.Time
	Reason      string
	Version     int
}

// TableName names the table.
func (questionActRow) TableName() string { return "question_acts" }

// AddQuestionAct adds an act to a question's history. The error is ErrReference when the bank has no such item.
func (tx *Tx) AddQuestionAct(programme competency.ProgrammeID, a QuestionAct) error {
	var last int
	err := tx.db.Model(&questionActRow{}).Select("COALESCE(MAX(seq), 0)").Where("programme_id = ? AND item = ?", programme, a.Item).Scan(&last).Error
	if err != nil {
		return translate("add question act", err)
	}
	row := questionActRow{programme, a.Item, last + 1, a.Kind, a.By, utc(a.At), a.Reason, a.Version}
	return tx.insert("add question act", programme, &row)
}

// QuestionActs lists what was done to a question, first act first.
func (tx *Tx) QuestionActs(programme competency.ProgrammeID, id question.ItemID) ([]QuestionAct, error) {
	var rows []struct {
		Row    questionActRow `gorm:"embedded"`
		ByName string
	}
	err := tx.db.Table("question_acts AS a").Select("a.*, p.name AS by_name").Joins("JOIN people p ON p.id = a.by_id").
		Where("a.programme_id = ? AND a.item = ?", programme, id).Order("a.seq").Find(&rows).Error
	if err != nil {
		return nil, translate("question acts", err)
	}
	list := make([]QuestionAct, len(rows))
	for i, named := range rows {
		r := named.Row
		list[i] = QuestionAct{r.Item, r.Kind, r.ByID, named.ByName, utc(r.At), r.Reason, r.Version}
	}
	return list, nil
}
