package store

import (
	"encoding/json"
	"fmt"
	"time"

	"isthmus/assessment"
	"isthmus/assessment/question"
	"isthmus/competency"
)

// TestTaken is a closed test as the analysis of questions needs it: no more is read, as there can be hundreds of thousands of answers.
type TestTaken struct {
	ID        competency.QuizID
	Trainee   competency.PersonID
	Own       question.TestID // the programme's own test it was; empty for one that the program offers
	Title     string
	Seed      int64
	StartedAt time.Time
	outcomes  string
	replies   string
}

// TestAnswer is what one question of a test came to.
type TestAnswer struct {
	Item    question.ItemID `json:"item"`
	Version int             `json:"version"`
	Topic   question.Topic  `json:"topic"`
	Right   bool            `json:"right"`
	MS      int             `json:"ms"`
	Chosen  []string        `json:"-"` // labels of choices as they were shown
}

// Answers takes the stored text apart, in the order asked. It is most of the work: whoever reads many tests shares it among goroutines.
func (t TestTaken) Answers() ([]TestAnswer, error) {
	var answers []TestAnswer
	if err := json.Unmarshal([]byte(t.outcomes), &answers); err != nil {
		return nil, fmt.Errorf("outcomes of quiz %s: %w", t.ID, err)
	}
	var replies []struct {
		Given struct {
			Chosen []string `json:"chosen"`
		} `json:"given"`
	}
	if err := json.Unmarshal([]byte(t.replies), &replies); err != nil {
		return nil, fmt.Errorf("replies of quiz %s: %w", t.ID, err)
	}
	for i := range answers {
		answers[i].Chosen = replies[i].Given.Chosen
	}
	return answers, nil
}

// TestsTaken lists the closed attempts in test mode, the earliest first.
func (tx *Tx) TestsTaken(programme competency.ProgrammeID) ([]TestTaken, error) {
	var rows []struct {
		ID        competency.QuizID
		TraineeID competency.PersonID
		TestID    *question.TestID
		Title     string
		Seed      int64
		StartedAt time.Time
		Outcomes  string
		Replies   string
	}
	err := tx.db.Table("quiz_attempts").Select("id, trainee_id, test_id, blueprint ->> 'title' AS title, seed, started_at, outcomes, replies").
		Where("programme_id = ? AND mode = ? AND status <> ?", programme, question.Test, assessment.SittingOpen).Order("started_at, id").Find(&rows).Error
	if err != nil {
		return nil, translate("tests taken", err)
	}
	list := make([]TestTaken, len(rows))
	for i, r := range rows {
		list[i] = TestTaken{ID: r.ID, Trainee: r.TraineeID, Title: r.Title, Seed: r.Seed, StartedAt: utc(r.StartedAt), outcomes: r.Outcomes, replies: r.Replies}
		if r.TestID != nil {
			list[i].Own = *r.TestID
		}
	}
	return list, nil
}
