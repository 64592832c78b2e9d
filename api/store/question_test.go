package store_test

import (
	"errors"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/assessment"
	"isthmus/assessment/question"
	"isthmus/competency"
)

// asked is a draft of sue's.
func asked(id question.ItemID) question.Edition {
	e, err := question.NewEdition(question.Item{
		ID: id, Topic: "lines", Kind: question.Numeric, Stem: "How many turns has a spiral staircase of 360 degrees?", Author: "Sue",
		Number: &question.Number{Value: 1, Tolerance: 0.5, Unit: "turns"},
	}, string(sue))
	if err != nil {
		panic(err)
	}
	return e
}

// askedLive is the edition after its approval by dan.
func askedLive(e question.Edition) question.Edition {
	e.Status, e.Item.Status, e.Reviewer, e.LiveVersion, e.LatestVersion = assessment.Live, assessment.Live, string(dan), e.Version, e.Version
	e.Revision++
	return e
}

// addAsked puts a question of sue's into a programme's bank and makes it live.
func addAsked(tx *store.Tx, programme competency.ProgrammeID, id question.ItemID) error {
	e := asked(id)
	after := askedLive(e)
	return errors.Join(tx.CreateQuestion(programme, e, start), tx.SaveQuestion(programme, after, 1, start.Add(time.Hour)),
		tx.KeepQuestionVersion(programme, store.QuestionVersion{Item: after.Item, Author: sue, ApprovedBy: dan, KeptAt: start.Add(time.Hour)}),
		tx.AddQuestionAct(programme, id, store.Done{Kind: "approve", By: dan, At: start, Version: 1}))
}

func TestQuestion(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		write(t, s, north, func(tx *store.Tx) error {
			return errors.Join(addAsked(tx, north, "own"), tx.CreateQuestion(north, asked("fresh"), start))
		})
		want := store.Question{Edition: askedLive(asked("own")), CreatedAt: start, UpdatedAt: start.Add(time.Hour)}
		read(t, s, func(tx *store.Tx) error {
			got, err := tx.QuestionByID(north, "own")
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("QuestionByID (-want +got):\n%s", diff)
			}
			list, err2 := tx.Questions(north)
			if diff := cmp.Diff([]store.Question{{Edition: asked("fresh"), CreatedAt: start, UpdatedAt: start}, want}, list); diff != "" {
				t.Errorf("Questions (-want +got):\n%s", diff)
			}
			acts, err3 := tx.QuestionActs(north, "own")
			if len(acts) != 1 || acts[0].Kind != "approve" || acts[0].ByName != "Name of dan" || acts[0].Version != 1 {
				t.Errorf("QuestionActs = %+v", acts)
			}
			versions, err4 := tx.QuestionVersions(north, "own")
			if diff := cmp.Diff([]store.QuestionVersion{{Item: want.Item, Author: sue, ApprovedBy: dan, KeptAt: start.Add(time.Hour)}}, versions); diff != "" {
				t.Errorf("QuestionVersions (-want +got):\n%s", diff)
			}
			refs, err5 := tx.QuestionsAsked(north)
			if diff := cmp.Diff([]question.Ref{{Item: "fresh"}, {Item: "own", Version: 1}}, refs); diff != "" {
				t.Errorf("QuestionsAsked (-want +got):\n%s", diff)
			}
			live, err6 := tx.LiveQuestions(north)
			if diff := cmp.Diff([]question.Item{want.Item}, live); diff != "" {
				t.Errorf("LiveQuestions (-want +got):\n%s", diff)
			}
			return errors.Join(err, err2, err3, err4, err5, err6)
		})
		changed := asked("fresh")
		changed.Item.Stem, changed.Revision = "Another", 2
		save := func() error {
			return tryWrite(s, north, func(tx *store.Tx) error { return tx.SaveQuestion(north, changed, 1, start.Add(time.Hour)) })
		}
		if err := save(); err != nil {
			t.Fatal(err)
		}
		wantErr(t, "the same revision again", save(), store.ErrStale)
		wantErr(t, "the same id again", tryWrite(s, north, func(tx *store.Tx) error { return tx.CreateQuestion(north, asked("own"), start) }), store.ErrDuplicate)
		if err := tryWrite(s, south, func(tx *store.Tx) error { return tx.CreateQuestion(south, asked("own"), start) }); err != nil {
			t.Errorf("the same id in another programme: %v", err)
		}
		kept := want.Item
		kept.Stem = "The words of a version that was kept never change."
		write(t, s, north, func(tx *store.Tx) error {
			return tx.KeepQuestionVersion(north, store.QuestionVersion{Item: kept, KeptAt: start})
		})
		read(t, s, func(tx *store.Tx) error {
			versions, err := tx.QuestionVersions(north, "own")
			if len(versions) != 1 || versions[0].Item.Stem != want.Item.Stem {
				t.Errorf("kept again: %+v", versions)
			}
			return err
		})
	})
}
