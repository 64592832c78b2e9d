package question_test

import (
	"errors"
	"testing"
	"time"

	"pgregory.net/rapid"

	"isthmus/assessment"
	"isthmus/assessment/question"
	"isthmus/assessment/strict"
)

var entry = question.TestPlan{Blueprint: question.Blueprint{Title: "Entry", Rows: []question.Row{{Topic: "lines", Items: 4}, {Topic: "energy", Items: 2}}}, Minutes: 12}

// TestLifeOfTest follows a test from draft to retirement and back.
func TestLifeOfTest(t *testing.T) {
	bank := question.Starter()
	e, err := question.NewTest("t1", entry, "amara")
	if err != nil {
		t.Fatal(err)
	}
	long := entry
	long.Minutes = 0
	if e, err = e.Edit(long, "mei"); err != nil || len(e.Authors) != 2 {
		t.Fatalf("%+v, %v", e, err)
	}
	var faults strict.Faults
	if _, err := e.Publish(bank); !errors.As(err, &faults) || faults.List[0].Field != "minutes" {
		t.Errorf("published without a time: %v", err)
	}
	many := entry
	many.Rows = []question.Row{{Topic: "lines", Items: 150}}
	e, _ = e.Edit(many, "mei")
	if _, err := e.Publish(bank); !errors.As(err, &faults) {
		t.Errorf("published what the bank cannot fill: %v", err)
	}
	e, _ = e.Edit(entry, "mei")
	if e, err = e.Publish(bank); err != nil || e.Status != assessment.Live || e.LiveVersion != 1 {
		t.Fatalf("%+v, %v", e, err)
	}
	if _, err := e.Edit(entry, "mei"); !errors.Is(err, assessment.ErrNotDraft) {
		t.Errorf("a live version was changed: %v", err)
	}
	if e, err = e.Revise("amara"); err != nil || e.Version != 2 || e.LiveVersion != 1 || e.Status != assessment.Draft {
		t.Fatalf("%+v, %v", e, err)
	}
	if _, err := e.Retire(""); !errors.Is(err, assessment.ErrReasonMissing) {
		t.Errorf("retired without a reason: %v", err)
	}
	if e, err = e.Retire("Too easy."); err != nil || e.LiveVersion != 0 {
		t.Errorf("%+v, %v", e, err)
	}
}

// TestSupply holds that what a form draws is never more than there is or than is asked.
func TestSupply(t *testing.T) {
	bank := question.Starter()
	rapid.Check(t, func(t *rapid.T) {
		b := question.Blueprint{Title: "x"}
		for _, topic := range bank.Topics() {
			if n := rapid.IntRange(0, 20).Draw(t, "n"); n > 0 {
				b.Rows = append(b.Rows, question.Row{Topic: topic, Items: n, Difficulty: rapid.SampledFrom([]question.Difficulty{"", question.Easy, question.Middling, question.Hard}).Draw(t, "difficulty")})
			}
		}
		short := false
		for i, s := range bank.SupplyOf(b) {
			total := 0
			for _, n := range s.By {
				total += n
			}
			if s.Asked != b.Rows[i].Items || s.Drawn > s.Asked || s.Drawn > s.Live || total != s.Live {
				t.Fatalf("%+v of %+v", s, b.Rows[i])
			}
			short = short || s.Drawn < s.Asked
		}
		if _, err := question.Assemble(bank, b, 0); b.Rows != nil && b.Items() <= question.MostItems && (err != nil) != short {
			t.Fatalf("short: %v, and yet %v", short, err)
		}
	})
}

// TestBeginTest holds that an attempt keeps the test's terms: its time, its cut with where it comes from, and how it is marked.
func TestBeginTest(t *testing.T) {
	noon := time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)
	plan := question.TestPlan{Blueprint: question.Blueprint{Title: "One", Rows: []question.Row{{Topic: "lines", Items: 6}}}, Minutes: 7, Scheme: question.Scheme{Negative: true}}
	var asked int
	a, err := question.BeginTest(question.Starter(), question.TestRef{ID: "t1", Version: 3}, plan, 11, noon, func(items []question.Item) question.Cut {
		asked = len(items)
		return question.Cut{Percent: 55, From: question.FromAngoff, Panel: "p", Judges: 2}
	})
	if err != nil || asked != 6 || a.Cut != 55 || a.CutFrom().Panel != "p" || !a.DueAt.Equal(noon.Add(7*time.Minute)) || a.Terms.Test.Version != 3 {
		t.Fatalf("%+v, %v", a, err)
	}
	lost := 0.0
	for i, it := range a.Items {
		if it.Kind != question.SingleBest {
			continue
		}
		for place, id := range a.Placed(i + 1).Order {
			if id == it.Key[0] {
				continue
			}
			label := string(rune('1' + place))
			a.Replies[i].Given = question.Given{Chosen: []string{label}}
			lost -= 1 / float64(len(it.Options)-1)
			break
		}
	}
	done, err := a.Submit(model, noon.Add(time.Minute))
	if err != nil || lost == 0 || done.Score.Points > lost+1e-9 || done.Passed() {
		t.Errorf("wrong answers cost nothing: %+v, want %g (%v)", done.Score, lost, err)
	}
	plain, err := question.Begin(question.Starter(), question.Test, plan.Blueprint, 11, noon, noon.Add(time.Hour))
	if err != nil || plain.CutFrom() != question.ExampleMark() {
		t.Errorf("%+v, %v", plain.CutFrom(), err)
	}
}
