package question_test

import (
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"isthmus/assessment"
	"isthmus/assessment/question"
)

func TestDayOf(t *testing.T) {
	for text, want := range map[string]question.Day{
		"1970-01-01T00:00:00Z": 0, "1970-01-02T23:59:59Z": 1, "2026-11-26T04:30:00Z": 20783, "2026-11-26T00:30:00+02:00": 20782, "1969-12-31T12:00:00Z": -1,
	} {
		at, err := time.Parse(time.RFC3339, text)
		if err != nil {
			t.Fatal(err)
		}
		if have := question.DayOf(at); have != want {
			t.Errorf("%s is day %d, want %d", text, have, want)
		}
	}
}

// TestRemember: the schedule, worked by hand.
func TestRemember(t *testing.T) {
	seen := func(on question.Day, right bool) question.Seen { return question.Seen{Item: "a", On: on, Right: right} }
	for _, tt := range []struct {
		name    string
		answers []question.Seen
		run     int
		due     question.Day
	}{
		{"right once", []question.Seen{seen(10, true)}, 1, 11},
		{"right twice", []question.Seen{seen(10, true), seen(11, true)}, 2, 14},
		{"right late", []question.Seen{seen(10, true), seen(40, true)}, 2, 43},
		{"wrong", []question.Seen{seen(10, false)}, 0, 11},
		{"wrong after three", []question.Seen{seen(1, true), seen(2, true), seen(5, true), seen(12, false)}, 0, 13},
		{"wrong, then right the same day", []question.Seen{seen(10, false), seen(10, true)}, 0, 11},
		{"out of order", []question.Seen{seen(11, true), seen(10, true)}, 2, 14},
		{"far on", []question.Seen{seen(1, true), seen(2, true), seen(3, true), seen(4, true), seen(5, true), seen(6, true), seen(7, true), seen(8, true), seen(9, true)}, 9, 129},
	} {
		have := question.Remember(tt.answers)
		if len(have) != 1 || have[0].Run != tt.run || have[0].Due != tt.due {
			t.Errorf("%s: %+v, want %d right in a row and due on %d", tt.name, have, tt.run, tt.due)
		}
	}
}

// TestDaily: at most ten, none twice, all live, those that wait before new ones and most overdue first, the same whatever order the answers
// are in and whatever was answered that day.
func TestDaily(t *testing.T) {
	bank := question.Starter()
	items := bank.Items()
	rapid.Check(t, func(t *rapid.T) {
		today := question.Day(200)
		var answers []question.Seen
		for range rapid.IntRange(0, 60).Draw(t, "answers") {
			answers = append(answers, question.Seen{Item: items[rapid.IntRange(0, 39).Draw(t, "item")].ID,
				On: question.Day(rapid.IntRange(100, 199).Draw(t, "on")), Right: rapid.Bool().Draw(t, "right")})
		}
		set := question.Daily(bank, answers, today, 5)
		memory := map[question.ItemID]question.Memory{}
		waiting := 0
		for _, m := range question.Remember(answers) {
			memory[m.Item] = m
			if m.Due <= today {
				waiting++
			}
		}
		fresh := 0
		var before float64
		for i, ref := range set {
			if slices.Index(set, ref) < i {
				t.Fatalf("%v twice", ref)
			}
			m, known := memory[ref.Item]
			if !known {
				fresh++
				continue
			}
			late := float64(today-m.Due) / float64(m.Due-m.Last)
			if m.Due > today || fresh > 0 || i > 0 && late > before {
				t.Fatalf("place %d: %+v after %v and %d new ones", i, m, before, fresh)
			}
			before = late
		}
		if old := len(set) - fresh; len(set) > question.DailyMost || old != min(waiting, question.DailyMost) || fresh != min(question.DailyNew, question.DailyMost-old) {
			t.Fatalf("%d items, %d new, %d wait", len(set), fresh, waiting)
		}
		worked := append(rapid.Permutation(answers).Draw(t, "mixed"), question.Seen{Item: set[0].Item, On: today, Right: true})
		ofOneDay := func(a question.Seen) bool { // two answers of one day to one item keep their order, so mixing those may change it
			n := 0
			for _, b := range answers {
				if a.Item == b.Item && a.On == b.On {
					n++
				}
			}
			return n > 1
		}
		if !slices.ContainsFunc(answers, ofOneDay) {
			if diff := cmp.Diff(set, question.Daily(bank, worked, today, 5)); diff != "" {
				t.Fatal(diff)
			}
		}
	})
}

// TestDailySeeds: new items are drawn by the seed, and one that is no longer live does not come back.
func TestDailySeeds(t *testing.T) {
	bank := question.Starter()
	if cmp.Equal(question.Daily(bank, nil, 1, 1), question.Daily(bank, nil, 1, 2)) {
		t.Error("two seeds draw the same new items")
	}
	items := bank.Items()
	items[0].Status = assessment.Retired
	fewer, err := question.NewBank(items)
	if err != nil {
		t.Fatal(err)
	}
	set := question.Daily(fewer, []question.Seen{{Item: items[0].ID, On: 1, Right: false}, {Item: "gone", On: 1}, {Item: items[1].ID, On: 1}}, 9, 1)
	if len(set) != 6 || set[0].Item != items[1].ID {
		t.Errorf("%v", set)
	}
}
