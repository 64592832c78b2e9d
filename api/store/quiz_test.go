package store_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/assessment"
	"isthmus/assessment/question"
	"isthmus/competency"
)

func TestQuiz(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		first := quiz(north, "q1", ann, start)
		write(t, s, north, func(tx *store.Tx) error {
			return errors.Join(tx.CreateQuiz(first), tx.CreateQuiz(quiz(north, "q2", ben, start.Add(time.Hour))))
		})
		wantErr(t, "a second open one", tryWrite(s, north, func(tx *store.Tx) error { return tx.CreateQuiz(quiz(north, "q3", ann, start)) }), store.ErrDuplicate)
		var err error
		if first.Attempt, err = first.Save([]question.Change{{Place: 2, Given: question.Given{}, MS: 900}}, start.Add(time.Minute)); err != nil {
			t.Fatal(err)
		}
		write(t, s, north, func(tx *store.Tx) error { return tx.SaveQuiz(first, 1) })
		wantErr(t, "an old revision", tryWrite(s, north, func(tx *store.Tx) error { return tx.SaveQuiz(first, 1) }), store.ErrStale)
		if first.Attempt, err = first.End(nil, first.DueAt.Add(time.Minute)); err != nil {
			t.Fatal(err)
		}
		same := func(id competency.QuizID) {
			read(t, s, func(tx *store.Tx) error {
				got, err := tx.QuizByID(north, id)
				want := first
				want.TraineeName = "Name of ann"
				if diff := cmp.Diff(want, got); diff != "" {
					t.Errorf("QuizByID (-want +got):\n%s", diff)
				}
				return err
			})
		}
		write(t, s, north, func(tx *store.Tx) error { return tx.SaveQuiz(first, 2) })
		same("q1")
		refuse(t, s, "quiz_attempts", []string{"UPDATE quiz_attempts SET revision = revision + 1 WHERE id = 'q1'", "UPDATE quiz_attempts SET status = 'open' WHERE id = 'q1'", "DELETE FROM quiz_attempts"})
		read(t, s, func(tx *store.Tx) error {
			for _, c := range []struct {
				filter store.QuizFilter
				want   string
			}{
				{store.QuizFilter{}, "q2 q1"}, {store.QuizFilter{Trainee: ann}, "q1"}, {store.QuizFilter{Mode: question.Test}, ""},
				{store.QuizFilter{Status: assessment.SittingOpen}, "q2"}, {store.QuizFilter{Trainees: []competency.PersonID{ann}}, "q1"}, {store.QuizFilter{Trainees: []competency.PersonID{}}, ""},
			} {
				list, _, err := tx.Quizzes(north, c.filter, store.Page{})
				var ids []string
				for _, one := range list {
					ids = append(ids, string(one.ID))
					if len(one.Items) > 0 || len(one.Replies) == 0 {
						t.Errorf("a list holds %d items and %d replies", len(one.Items), len(one.Replies))
					}
				}
				if got := strings.Join(ids, " "); got != c.want || err != nil {
					t.Errorf("Quizzes(%+v) = %q, %v, want %q", c.filter, got, err, c.want)
				}
			}
			past, err := tx.QuizzesPast(north, start.AddDate(0, 0, 3))
			if len(past) != 1 || past[0] != "q2" {
				t.Errorf("past their end: %v", past)
			}
			of, err2 := tx.QuizzesOf(north, ann)
			if len(of) != 1 || len(of[0].Outcomes) != len(first.Items) {
				t.Errorf("of ann: %+v", of)
			}
			return errors.Join(err, err2)
		})
		asked := quiz(south, "q4", ben, start)
		asked.Mode = question.Test
		write(t, s, south, func(tx *store.Tx) error { return tx.CreateQuiz(asked) })
		read(t, s, func(tx *store.Tx) error {
			for person, want := range map[competency.PersonID][]store.OpenQuizTest{ann: {}, ben: {{Programme: south, ID: "q4", DueAt: asked.DueAt}}} { // q2 is practice
				open, err := tx.OpenQuizTestsOf(person)
				if diff := cmp.Diff(want, open); diff != "" || err != nil {
					t.Errorf("OpenQuizTestsOf(%s): %v (-want +got):\n%s", person, err, diff)
				}
			}
			return nil
		})
	})
}

// TestQuizRebuilt: blueprint, bank version and seed as they come back from the database give the form that was kept, on both.
func TestQuizRebuilt(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		n := 0
		rapid.Check(t, func(rt *rapid.T) {
			n++
			bank := question.Starter()
			b := question.Mixed(bank)
			if topic := rapid.SampledFrom(append(bank.Topics(), "")).Draw(rt, "topic"); topic != "" {
				b, _ = question.OnTopic(bank, topic)
			}
			one := quiz(north, competency.QuizID("q"+strings.Repeat("x", n%60)), ann, start)
			var err error
			if one.Attempt, err = question.Begin(bank, question.Test, b, rapid.Int64().Draw(rt, "seed"), start, start.Add(time.Hour)); err != nil {
				rt.Fatal(err)
			}
			rolledBack := errors.New("so that the next may be open too")
			err = tryWrite(s, north, func(tx *store.Tx) error {
				if err := tx.CreateQuiz(one); err != nil {
					return err
				}
				got, err := tx.QuizByID(north, one.ID)
				if err != nil {
					return err
				}
				form, err := question.Assemble(bank, got.Blueprint, got.Seed)
				if err != nil {
					return err
				}
				if form.Bank != got.Bank || len(form.Items) != len(got.Items) {
					rt.Errorf("bank %s and %d items, want %s and %d", form.Bank, len(form.Items), got.Bank, len(got.Items))
				}
				for i, placed := range form.Items {
					if diff := cmp.Diff(placed, got.Placed(i+1)); diff != "" {
						rt.Errorf("place %d (-rebuilt +kept):\n%s", i+1, diff)
					}
				}
				return rolledBack
			})
			if !errors.Is(err, rolledBack) {
				rt.Fatal(err)
			}
		})
	})
}
