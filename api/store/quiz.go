package store

import (
	"encoding/json"
	"fmt"
	"time"

	"isthmus/assessment"
	"isthmus/assessment/question"
	"isthmus/competency"
)

// Quiz is a trainee's attempt at a set of questions.
type Quiz struct {
	ID          competency.QuizID
	Programme   competency.ProgrammeID
	Trainee     competency.PersonID
	TraineeName string // filled when loaded
	question.Attempt
}

// QuizFilter narrows a list of quizzes; empty fields do not.
type QuizFilter struct {
	Trainee  competency.PersonID
	Mode     question.Mode
	Status   assessment.SittingStatus
	Trainees []competency.PersonID // any of them; nil for everybody, empty for nobody
}

// quizRow is a row of quiz_attempts. SubmittedAt is when it was closed, by whatever.
type quizRow struct {
	ID            competency.QuizID
	ProgrammeID   competency.ProgrammeID
	TraineeID     competency.PersonID
	Mode          question.Mode
	Blueprint     string
	BankVersion   string
	Seed          int64
	Paper         string
	Replies       string
	Outcomes      *string
	Status        assessment.SittingStatus
	StartedAt     time.Time
	DueAt         time.Time
	SavedAt       *time.Time
	SubmittedAt   *time.Time
	Score         *float64 // in points
	Max           int      // points there were: one an item
	StandardError *float64 // of the per cent; null while open and where there is no honest figure
	Cut           float64
	TestID        *question.TestID // of the programme's own test; null for what the program offers itself
	Terms         *string          // likewise
	Revision      int
}

// TableName names the table.
func (quizRow) TableName() string { return "quiz_attempts" }

// fromQuiz is the row of a quiz.
func fromQuiz(q Quiz) (quizRow, error) {
	row := quizRow{
		ID: q.ID, ProgrammeID: q.Programme, TraineeID: q.Trainee, Mode: q.Mode, BankVersion: q.Bank, Seed: q.Seed, Status: q.Status, StartedAt: utc(q.StartedAt),
		DueAt: utc(q.DueAt), SavedAt: utcOrNil(q.SavedAt), SubmittedAt: utcOrNil(q.ClosedAt), Max: len(q.Items), Cut: q.Cut, Revision: q.Revision,
	}
	for _, part := range []struct {
		into  *string
		value any
	}{{&row.Blueprint, q.Blueprint}, {&row.Paper, q.Items}, {&row.Replies, q.Replies}} {
		data, err := json.Marshal(part.value)
		if err != nil {
			return row, fmt.Errorf("quiz %s: %w", q.ID, err)
		}
		*part.into = string(data)
	}
	if q.Terms.Test.ID != "" {
		data, err := json.Marshal(q.Terms)
		if err != nil {
			return row, fmt.Errorf("terms of quiz %s: %w", q.ID, err)
		}
		text := string(data)
		row.TestID, row.Terms = &q.Terms.Test.ID, &text
	}
	if q.Status == assessment.SittingOpen {
		return row, nil
	}
	data, err := json.Marshal(q.Outcomes)
	if err != nil {
		return row, fmt.Errorf("outcomes of quiz %s: %w", q.ID, err)
	}
	text := string(data)
	row.Outcomes, row.Score = &text, &q.Score.Points
	if q.Score.Method != question.Unknown {
		row.StandardError = &q.Score.SE
	}
	return row, nil
}

// namedQuiz is a quiz with its trainee's name.
type namedQuiz struct {
	Row         quizRow `gorm:"embedded"`
	TraineeName string
}

// quiz is the attempt as it was kept. A list leaves the paper out.
func (n namedQuiz) quiz() (Quiz, error) {
	r := n.Row
	q := Quiz{
		ID: r.ID, Programme: r.ProgrammeID, Trainee: r.TraineeID, TraineeName: n.TraineeName,
		Attempt: question.Attempt{
			Mode: r.Mode, Bank: r.BankVersion, Seed: r.Seed, StartedAt: utc(r.StartedAt), DueAt: utc(r.DueAt), SavedAt: timeOrZero(r.SavedAt),
			ClosedAt: timeOrZero(r.SubmittedAt), Status: r.Status, Cut: r.Cut, Revision: r.Revision,
		},
	}
	for _, part := range []struct {
		text string
		into any
	}{{r.Blueprint, &q.Blueprint}, {r.Paper, &q.Items}, {r.Replies, &q.Replies}} {
		if part.text == "" {
			continue
		}
		if err := json.Unmarshal([]byte(part.text), part.into); err != nil {
			return q, fmt.Errorf("quiz %s: %w", r.ID, err)
		}
	}
	if r.Terms != nil {
		if err := readStored("terms of a quiz", *r.Terms, &q.Terms); err != nil {
			return q, err
		}
	}
	if r.Outcomes == nil {
		return q, nil
	}
	if err := json.Unmarshal([]byte(*r.Outcomes), &q.Outcomes); err != nil {
		return q, fmt.Errorf("outcomes of quiz %s: %w", r.ID, err)
	}
	q.Score = q.Total()
	return q, nil
}

// CreateQuiz adds an attempt. The error is ErrDuplicate when the trainee has one of its mode open.
func (tx *Tx) CreateQuiz(q Quiz) error {
	row, err := fromQuiz(q)
	if err != nil {
		return err
	}
	return tx.insert("create quiz", q.Programme, &row)
}

// SaveQuiz replaces what can change of an open attempt whose stored revision is expected; q carries the new one. The error is ErrStale
// when the revision is another by now, ErrNotFound when the programme has no such attempt.
func (tx *Tx) SaveQuiz(q Quiz, expected int) error {
	if err := tx.mayWrite(q.Programme); err != nil {
		return err
	}
	row, err := fromQuiz(q)
	if err != nil {
		return err
	}
	changed := tx.db.Model(&quizRow{}).Where("programme_id = ? AND id = ? AND revision = ?", q.Programme, q.ID, expected).
		Select("Replies", "Outcomes", "Status", "SavedAt", "SubmittedAt", "Score", "StandardError", "Revision").Updates(&row)
	return replaced("save quiz", changed, func() error {
		_, err := tx.QuizByID(q.Programme, q.ID)
		return err
	})
}
