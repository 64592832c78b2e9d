package question_test

import (
	"encoding/json"
	"errors"
	"reflect"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"isthmus/assessment"
	"isthmus/assessment/atrium"
	"isthmus/assessment/question"
	"isthmus/assessment/strict"
)

var noon = time.Date(2026, 6, 1, 12, 0, 0, 0, time.UTC)

// model computes equal lesion sets once: the same few drawings are marked again and again.
var model = remembering{atrium.Default(), map[string]atrium.Result{}}

type remembering struct {
	of    question.Conductor
	known map[string]atrium.Result
}

func (r remembering) Conduct(set atrium.LesionSet) (atrium.Result, error) {
	key, err := json.Marshal(set)
	if result, found := r.known[string(key)]; found || err != nil {
		return result, err
	}
	result, err := r.of.Conduct(set)
	if err == nil {
		r.known[string(key)] = result
	}
	return result, err
}

// begun is an attempt at the questions of a topic; without a topic of all.
func begun(t testing.TB, mode question.Mode, topic question.Topic, seed int64) question.Attempt {
	bank := question.Starter()
	b := question.Mixed(bank)
	if topic != "" {
		b, _ = question.OnTopic(bank, topic)
	}
	a, err := question.Begin(bank, mode, b, seed, noon, noon.Add(question.TimeFor(b)))
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// replying gives an answer to a place, right or wrong.
func replying(a question.Attempt, place int, right bool) question.Given {
	return a.Placed(place).Give(a.Items[place-1].Example(right))
}

// TestAttempt: a test from its start to its result; nothing counts after the grace, and nothing changes once it is closed.
func TestAttempt(t *testing.T) {
	a := begun(t, question.Test, "lines", 7)
	half := len(a.Items) / 2
	var changes []question.Change
	for i := range a.Items {
		if i < half {
			changes = append(changes, question.Change{Place: i + 1, Given: replying(a, i+1, true), MS: 1000})
		}
	}
	saved, err := a.Save(changes, noon.Add(time.Minute))
	if err != nil || saved.Revision != 2 || !saved.Holds(changes) || a.Holds(changes) || a.Replies[0].Answered() {
		t.Fatalf("saved %+v, %v", saved, err)
	}
	if again, err := saved.Save([]question.Change{{Place: 1, Given: replying(a, 1, false)}}, noon.Add(2*time.Minute)); err != nil || again.Holds(changes) {
		t.Errorf("an answer of a test changed: %v", err)
	}
	late := a.DueAt.Add(assessment.SittingGrace)
	if _, err := saved.Save(changes, late); err != nil {
		t.Errorf("a save that was on its way at the end: %v", err)
	}
	for name, act := range map[string]func() (question.Attempt, error){
		"save late":   func() (question.Attempt, error) { return saved.Save(changes, late.Add(1)) },
		"submit late": func() (question.Attempt, error) { return saved.Submit(model, late.Add(1)) },
		"end early":   func() (question.Attempt, error) { return saved.End(model, late) },
		"save submitted": func() (question.Attempt, error) {
			done, _ := saved.Submit(model, noon)
			return done.Save(changes, noon)
		},
	} {
		if got, err := act(); !errors.Is(err, assessment.ErrSittingOver) || !reflect.DeepEqual(got.Replies, saved.Replies) {
			t.Errorf("%s: %v", name, err)
		}
	}
	ended, err := saved.End(model, late.Add(time.Hour))
	if err != nil || !ended.ClosedAt.Equal(a.DueAt) || ended.Score.Right != half || ended.Score.Answered != half || ended.Score.Items != len(a.Items) {
		t.Errorf("ended %+v, %v", ended.Score, err)
	}
	by := ended.ByTopic()
	if len(by) != 1 || !by[0].Judged || by[0].Passed || by[0].Percent != 50 {
		t.Errorf("by topic %+v", by)
	}
}

// TestAttemptRefusals: what is no answer is not kept, and an answer whose feedback was shown is final.
func TestAttemptRefusals(t *testing.T) {
	a := begun(t, question.Practice, "lines", 7)
	first := question.Change{Place: 1, Given: replying(a, 1, true)}
	saved, err := a.Save([]question.Change{first}, noon)
	if err != nil {
		t.Fatal(err)
	}
	x := 1.0
	for name, c := range map[string]question.Change{
		"replies[0].place":           {Place: len(a.Items) + 1},
		"replies[0].given":           {Place: 1, Given: replying(a, 1, false)},
		"replies[0].ms":              {Place: 2, MS: -1},
		"replies[0].given.chosen[0]": {Place: 2, Given: question.Given{Chosen: []string{"99"}, Number: &x}},
	} {
		_, err := saved.Save([]question.Change{c}, noon)
		var faults strict.Faults
		if !errors.As(err, &faults) || faults.List[0].Field != name {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := saved.Save([]question.Change{first}, noon); err != nil {
		t.Errorf("the same answer again: %v", err)
	}
}

// TestOffers: whatever is offered can be drawn, whatever the seed.
func TestOffers(t *testing.T) {
	bank := question.Starter()
	rapid.Check(t, func(rt *rapid.T) {
		topic := rapid.SampledFrom(append(bank.Topics(), "")).Draw(rt, "topic")
		a := begun(t, question.Test, topic, rapid.Int64().Draw(rt, "seed"))
		want := question.TopicItems
		if topic == "" {
			want = question.MixedItems
		}
		if len(a.Items) != want {
			rt.Errorf("%q has %d items", topic, len(a.Items))
		}
		for i, it := range a.Items {
			if a.Placed(i+1).Item != it.ID {
				rt.Errorf("place %d holds %s", i+1, it.ID)
			}
		}
	})
	if _, found := question.OnTopic(bank, "gardening"); found {
		t.Error("a topic the bank has not")
	}
}

// TestAnyReplies: whatever is answered, a closed attempt has an outcome for each place, the score adds them up, and what a right answer
// and no answer are worth is plain.
func TestAnyReplies(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		a := begun(t, question.Test, "", rapid.Int64().Draw(rt, "seed"))
		right, answered := 0, 0
		var changes []question.Change
		for i := range a.Items {
			switch rapid.IntRange(0, 2).Draw(rt, "how") {
			case 1:
				changes = append(changes, question.Change{Place: i + 1, Given: replying(a, i+1, false)})
				answered++
			case 2:
				changes = append(changes, question.Change{Place: i + 1, Given: replying(a, i+1, true)})
				answered++
				right++
			}
		}
		a, err := a.Save(changes, noon)
		if err == nil {
			a, err = a.Submit(model, noon)
		}
		if err != nil {
			rt.Fatal(err)
		}
		if a.Score.Right != right || a.Score.Answered != answered || len(a.Outcomes) != len(a.Items) || a.Score.Points < float64(right) {
			rt.Errorf("%+v, want %d right of %d answered", a.Score, right, answered)
		}
		known, items := 0, 0
		for _, k := range question.Know(a.Outcomes) {
			known, items = known+k.Right, items+k.N
		}
		if known != right || items != answered {
			rt.Errorf("knows %d of %d", known, items)
		}
		for _, r := range a.ByTopic() {
			if r.Judged {
				rt.Errorf("a mixed test judges %s by %d items", r.Topic, r.Items)
			}
		}
	})
}

// TestKnowCountsOnce: an item counts once, by its last answer.
func TestKnowCountsOnce(t *testing.T) {
	of := func(item question.ItemID, minute int, right bool) question.Outcome {
		return question.Outcome{Mark: question.Mark{Item: item, Answered: true, Right: right}, Topic: "lines", At: noon.Add(time.Duration(minute) * time.Minute)}
	}
	known := question.Know([]question.Outcome{of("a", 3, true), of("a", 1, false), of("b", 1, true), of("b", 2, false), {Topic: "lines"}})
	if len(known) != 1 || known[0].N != 2 || known[0].Right != 1 {
		t.Errorf("knows %+v", known)
	}
}

// TestAttemptTellsNothing: what is audited of an attempt as JSON holds no key.
func TestAttemptTellsNothing(t *testing.T) {
	data, err := json.Marshal(begun(t, question.Test, "", 3))
	if err != nil || strings.Contains(string(data), "rationale") || strings.Contains(string(data), `"key"`) {
		t.Errorf("%.200s, %v", data, err)
	}
}
