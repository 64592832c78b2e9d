package main

import (
	"crypto/sha256"
	_ "embed"
	"fmt"
	"time"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/assessment/question"
	"isthmus/competency"
)

// demoQuestionsYAML are questions of the programme's own: the first goes live, the second waits for its review, the third is unfinished.
//
//go:embed demo_questions.yaml
var demoQuestionsYAML []byte

// demoQuiz is a set of questions that a trainee took and closed. Of ten questions they have about so many right.
type demoQuiz struct {
	who   string
	ago   int
	mode  question.Mode
	topic question.Topic
	right int
}

var demoQuizzes = []demoQuiz{
	{"ines", 41, question.Practice, "lines", 6}, {"ines", 27, question.Test, "lines", 8}, {"ines", 9, question.Test, "anatomy", 7},
	{"kofi", 38, question.Test, "lines", 5}, {"kofi", 16, question.Practice, "energy", 6}, {"kofi", 5, question.Test, "lines", 7},
	{"sana", 33, question.Test, "", 8}, {"sana", 12, question.Test, "energy", 9}, {"mateo", 21, question.Test, "lines", 4}, {"mateo", 8, question.Practice, "follow-up", 5},
}

// tellQuestions puts the acts on the bank of questions in their places.
func (t *demoTeller) tellQuestions() {
	t.acts = append(t.acts, demoAct{t.at(48, 16, 5), t.writeQuestions})
	for i, set := range demoQuizzes {
		t.acts = append(t.acts, demoAct{t.at(set.ago, 20, 40+i), func() error { return t.take(set) }})
	}
	t.tellPanel()
}

// writeQuestions has faculty write, and one question reviewed.
func (t *demoTeller) writeQuestions() error {
	read, err := service.ReadQuestions("demo_questions.yaml", demoQuestionsYAML)
	if err != nil {
		return err
	}
	for i, who := range []string{"mei", "tomasz", "mei"} {
		it := read.Items[i]
		if i == 2 {
			it.Options, it.Key, it.Rationale = nil, nil, "" // as far as mei has come
		}
		view, err := t.service.CreateQuestion(t.ctx, t.as(who), t.programme, service.QuestionCreation{Item: it})
		if err == nil && i < 2 {
			view, err = t.service.SubmitQuestion(t.ctx, t.as(who), t.programme, it.ID, view.Head.Revision)
		}
		if err == nil && i == 0 {
			_, err = t.service.ApproveQuestion(t.ctx, t.as("leila"), t.programme, it.ID, view.Head.Revision)
		}
		if err != nil {
			return fmt.Errorf("question of %s: %w", who, err)
		}
	}
	return nil
}

// take starts a set and finishes it.
func (t *demoTeller) take(set demoQuiz) error {
	view, err := t.service.StartQuiz(t.ctx, t.as(set.who), t.programme, service.QuizStart{Mode: set.mode, Topic: set.topic})
	if err != nil {
		return fmt.Errorf("questions of %s: %w", set.who, err)
	}
	return t.finish(view, set)
}

// finish answers a set and closes it nine minutes later.
func (t *demoTeller) finish(view service.QuizView, set demoQuiz) error {
	changes, err := t.replies(view.ID, set)
	if err != nil {
		return err
	}
	t.clock = t.clock.Add(8 * time.Minute)
	if view, err = t.service.SaveQuiz(t.ctx, t.as(set.who), t.programme, view.ID, view.Revision, changes); err != nil {
		return fmt.Errorf("answers of %s: %w", set.who, err)
	}
	t.clock = t.clock.Add(time.Minute)
	_, err = t.service.SubmitQuiz(t.ctx, t.as(set.who), t.programme, view.ID, view.Revision)
	return err
}

// replies are what a trainee answers: rightly or not by a lot that person and question draw, the same in every demo.
func (t *demoTeller) replies(id competency.QuizID, set demoQuiz) ([]question.Change, error) {
	var changes []question.Change
	err := t.store.Read(t.ctx, func(tx *store.Tx) error {
		quiz, err := tx.QuizByID(t.programme, id)
		for i, it := range quiz.Items {
			lot := sha256.Sum256([]byte(set.who + "/" + string(it.ID)))
			right := int(lot[0])%10 < set.right
			changes = append(changes, question.Change{Place: i + 1, MS: 20_000 + 200*int(lot[1]), Given: quiz.Placed(i + 1).Give(it.Example(right))})
		}
		return err
	})
	return changes, err
}
