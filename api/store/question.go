package store

import (
	"time"

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
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	Item        question.ItemID        `gorm:"primaryKey"`
	Life        lifeRow                `gorm:"embedded"`
	ReviewerID  *competency.PersonID
}

// TableName names the table.
func (questionRow) TableName() string { return "question_editions" }

func fromQuestion(programme competency.ProgrammeID, e question.Edition, at time.Time) (questionRow, error) {
	life, err := fromLife(e.Life, e.Item, at)
	return questionRow{programme, e.ID, life, personOrNil(competency.PersonID(e.Reviewer))}, err
}

// question is the edition as it was kept.
func (r questionRow) question() (Question, error) {
	life, err := r.Life.life()
	if err != nil {
		return Question{}, err
	}
	life.Reviewer = string(personOrNone(r.ReviewerID))
	q := Question{Edition: question.Edition{ID: r.Item, Life: life}, CreatedAt: utc(r.Life.CreatedAt), UpdatedAt: utc(r.Life.UpdatedAt)}
	return q, readStored("question", r.Life.Body, &q.Item)
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
	return replaced("save question", changed, func() error {
		_, err := tx.QuestionByID(programme, e.ID)
		return err
	})
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

// questionHistory is the acts on questions.
var questionHistory = history{"question act", "question_acts", "item"}

type questionActRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	Item        question.ItemID        `gorm:"primaryKey"`
	Done        doneRow                `gorm:"embedded"`
}

// TableName names the table.
func (questionActRow) TableName() string { return questionHistory.table }

// AddQuestionAct adds an act to a question's history. The error is ErrReference when the bank has no such item.
func (tx *Tx) AddQuestionAct(programme competency.ProgrammeID, id question.ItemID, d Done) error {
	next, err := tx.next(questionHistory, programme, string(id), d)
	if err != nil {
		return err
	}
	return tx.insert("add question act", programme, &questionActRow{programme, id, next})
}

// QuestionActs lists what was done to a question, first act first.
func (tx *Tx) QuestionActs(programme competency.ProgrammeID, id question.ItemID) ([]Done, error) {
	return tx.done(questionHistory, programme, string(id))
}
