package question_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"isthmus/assessment"
	"isthmus/assessment/atrium"
	"isthmus/assessment/question"
	"isthmus/assessment/strict"
)

// told is a starter item told again under another id, with what its text says of version and status being nobody's business.
func told(t *testing.T) question.Item {
	t.Helper()
	i := slices.IndexFunc(question.Starter().Items(), func(it question.Item) bool { return it.Kind == question.SingleBest })
	it := question.Starter().Items()[i]
	it.ID, it.Version, it.Status = "told-again", 7, assessment.Live
	return it
}

// TestEditionCarriesItsLife: whatever the text says, the item of an edition has the edition's id, version and status.
func TestEditionCarriesItsLife(t *testing.T) {
	e, err := question.NewEdition(told(t), "ann")
	if err != nil {
		t.Fatal(err)
	}
	model := atrium.Default()
	for _, act := range []func() (question.Edition, error){
		func() (question.Edition, error) { return e.Edit(question.Item{Stem: "Not finished"}, "ann") },
		func() (question.Edition, error) { return e.Edit(told(t), "ann") },
		func() (question.Edition, error) { return e.Submit(model) },
		func() (question.Edition, error) { return e.Return("ben", "The stem tells the answer.") },
		func() (question.Edition, error) { return e.Submit(model) },
		func() (question.Edition, error) { return e.Approve("ben", model) },
		func() (question.Edition, error) { return e.Revise("ben") },
		func() (question.Edition, error) { return e.Retire("Nobody does so any more.") },
	} {
		if e, err = act(); err != nil {
			t.Fatal(err)
		}
		if got := e.Item; got.ID != "told-again" || got.Version != e.Version || got.Status != e.Status {
			t.Fatalf("edition %d %s carries an item %s %d %s", e.Version, e.Status, got.ID, got.Version, got.Status)
		}
	}
	if e.Version != 2 || e.LiveVersion != 0 || e.LatestVersion != 1 {
		t.Errorf("in the end %+v", e.Life)
	}
}

// TestEditionRefuses what no life may have; the edition is then unchanged.
func TestEditionRefuses(t *testing.T) {
	model := atrium.Default()
	draft, err := question.NewEdition(told(t), "ann")
	if err != nil {
		t.Fatal(err)
	}
	inReview, err := draft.Submit(model)
	if err != nil {
		t.Fatal(err)
	}
	renamed := told(t)
	renamed.ID = "another"
	wrongKey, _ := draft.Edit(func() question.Item { it := told(t); it.Key = []string{"none-of-these"}; return it }(), "ann")
	memory, _ := draft.Edit(func() question.Item { it := told(t); it.Source = "A chapter (from memory)"; return it }(), "ann")
	long, invalid := told(t), strict.Faults{}
	long.Stem = strings.Repeat("long ", 1000)
	for name, tt := range map[string]struct {
		do   func() (question.Edition, error)
		want error // an empty strict.Faults for any
	}{
		"another id":          {func() (question.Edition, error) { return draft.Edit(renamed, "ann") }, question.ErrAnotherItemID},
		"a change in review":  {func() (question.Edition, error) { return inReview.Edit(told(t), "ann") }, assessment.ErrNotDraft},
		"the author approves": {func() (question.Edition, error) { return inReview.Approve("ann", model) }, assessment.ErrOwnEdition},
		"nobody approves":     {func() (question.Edition, error) { return inReview.Approve("", model) }, assessment.ErrOwnEdition},
		"a draft approved":    {func() (question.Edition, error) { return draft.Approve("ben", model) }, assessment.ErrNotInReview},
		"returned mutely":     {func() (question.Edition, error) { return inReview.Return("ben", " ") }, assessment.ErrReasonMissing},
		"a key of no option":  {func() (question.Edition, error) { return wrongKey.Submit(model) }, invalid},
		"a fact from memory":  {func() (question.Edition, error) { return memory.Submit(model) }, invalid},
		"too long a stem":     {func() (question.Edition, error) { return draft.Edit(long, "ann") }, invalid},
		"no id":               {func() (question.Edition, error) { return question.NewEdition(question.Item{}, "ann") }, invalid},
	} {
		e, err := tt.do()
		var faults strict.Faults
		if _, any := tt.want.(strict.Faults); any && errors.As(err, &faults) || !any && errors.Is(err, tt.want) {
			continue
		}
		t.Errorf("%s: %v, now %+v", name, err, e.Life)
	}
}

// TestMapKeyIsTried: a key on the map that the model does not find right is not handed to review.
func TestMapKeyIsTried(t *testing.T) {
	i := slices.IndexFunc(question.Starter().Items(), func(it question.Item) bool { return it.Kind == question.OnMap && it.Map.Near != nil })
	it := question.Starter().Items()[i]
	task := *it.Map
	task.Misses = append(slices.Clone(task.Misses), question.MissDrawn{Path: task.Key[:1], Feedback: "This is right, and called a miss."})
	if task.Draw != question.Point {
		task.Misses[len(task.Misses)-1].Path = task.Key
	}
	it.Map = &task
	e, err := question.NewEdition(it, "ann")
	if err != nil {
		t.Fatal(err)
	}
	var faults strict.Faults
	if _, err := e.Submit(atrium.Default()); !errors.As(err, &faults) || !strings.Contains(err.Error(), "map.misses") {
		t.Errorf("a miss that is right: %v", err)
	}
}

// TestDraftsAreBounded: whatever a valid item is cut down to can be kept as a draft.
func TestDraftsAreBounded(t *testing.T) {
	items := question.Starter().Items()
	rapid.Check(t, func(t *rapid.T) {
		it := rapid.SampledFrom(items).Draw(t, "item")
		it.Options = it.Options[:rapid.IntRange(0, len(it.Options)).Draw(t, "options")]
		it.Stem = it.Stem[:0]
		if rapid.Bool().Draw(t, "no kind") {
			it.Kind = ""
		}
		if _, err := question.NewEdition(it, "ann"); err != nil {
			t.Fatalf("%s: %v", it.ID, err)
		}
	})
}
