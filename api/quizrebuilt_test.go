package api

import (
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/assessment"
	"isthmus/assessment/question"
	"isthmus/competency"
)

// bankOn puts together what a programme asked at a time, from what its database keeps for good: the versions of its items, and the acts
// that made them live and took them out. A starter item it had not touched by then is asked as it came.
func bankOn(t *testing.T, tx *store.Tx, at time.Time) question.Bank {
	t.Helper()
	live := map[question.ItemID]question.Item{}
	for _, it := range question.Starter().Items() {
		live[it.ID] = it
	}
	own, err := tx.Questions(north)
	if err != nil {
		t.Fatal(err)
	}
	for _, one := range own {
		versions, err := tx.QuestionVersions(north, one.ID)
		if err != nil {
			t.Fatal(err)
		}
		acts, err := tx.QuestionActs(north, one.ID)
		if err != nil {
			t.Fatal(err)
		}
		for _, act := range acts {
			if act.At.After(at) {
				break
			}
			switch act.Kind {
			case "approve":
				i := slices.IndexFunc(versions, func(v store.QuestionVersion) bool { return v.Item.Version == act.Version })
				live[one.ID] = versions[i].Item
			case "retire":
				delete(live, one.ID)
			}
		}
	}
	var items []question.Item
	for _, it := range live {
		items = append(items, it)
	}
	bank, err := question.NewBank(items)
	if err != nil {
		t.Fatal(err)
	}
	return bank
}

// TestQuizRebuiltFromBank: while a programme writes, revises and takes out questions, each attempt can be drawn again, from its blueprint,
// the bank of the version it names and its seed, with the same items in the same order and the same options; on both databases.
func TestQuizRebuiltFromBank(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		var attempts []competency.QuizID
		take := func(mode, topic string) {
			t.Helper()
			w.clock.advance(time.Minute)
			view, made := w.quizzed("ines", mode, topic)
			w.as("ines").do("POST", made.header.Get("Location")+"/submit", nil, "If-Match", made.etag()).want(200)
			attempts = append(attempts, view.ID)
			w.clock.advance(time.Minute)
		}
		takeAll := func() { take("test", "lines"); take("test", ""); take("practice", "anatomy") }
		takeAll()
		take("daily", "")
		var own, starter service.BankQuestion
		w.as("mei").do("POST", in("/questions"), asks{stairs("which-stairs")}).want(201).into(&own)
		w.asking("mei", "which-stairs", "submit", nil, &own).want(200)
		takeAll() // a draft in review is not in it
		w.asking("leila", "which-stairs", "approve", nil, &own).want(200)
		takeAll()
		take("practice", "stairs")
		touched := question.ItemID("mark-av-node")
		w.as("mei").do("GET", in("/questions/"+string(touched)), nil).want(200).into(&starter)
		w.asking("mei", touched, "revise", nil, &starter).want(200)
		changed := starter.Item
		changed.Stem += " Take care: it lies near the annulus."
		w.asking("mei", touched, "edit", asks{changed}, &starter).want(200)
		w.asking("mei", touched, "submit", nil, &starter).want(200)
		w.asking("leila", touched, "approve", nil, &starter).want(200)
		takeAll()
		w.asking("leila", "which-stairs", "retire", `{"reason":"It is not of our field."}`, &own).want(200)
		takeAll()

		banks := map[string]bool{}
		w.must(w.store.Read(w.Context(), func(tx *store.Tx) error {
			for _, id := range attempts {
				kept, err := tx.QuizByID(north, id)
				if err != nil {
					return err
				}
				bank := bankOn(t, tx, kept.StartedAt)
				if bank.Version() != kept.Bank {
					t.Errorf("%s of %s: the bank rebuilt is %s, want %s", kept.Blueprint.Title, kept.StartedAt, bank.Version(), kept.Bank)
				}
				banks[kept.Bank] = true
				form, err := question.Assemble(bank, kept.Blueprint, kept.Seed)
				if err != nil {
					return err
				}
				var items []question.Item
				for i, placed := range form.Items {
					it, _ := bank.Item(placed.Item)
					items = append(items, it)
					if diff := cmp.Diff(placed, kept.Placed(i+1)); diff != "" {
						t.Errorf("%s, place %d (-rebuilt +kept):\n%s", kept.Blueprint.Title, i+1, diff)
					}
				}
				if diff := cmp.Diff(items, kept.Items); diff != "" {
					t.Errorf("%s, items (-rebuilt +kept):\n%s", kept.Blueprint.Title, diff)
				}
			}
			return nil
		}))
		if len(banks) != 4 {
			t.Errorf("the attempts name %d banks, want 4: as it came, with an own item, with a starter item revised, with the own one taken out", len(banks))
		}
		if starter.Head.Status != assessment.Live || starter.Head.LiveVersion != 2 {
			t.Errorf("the starter item touched is %+v", starter.Head)
		}
	})
}
