package question_test

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"isthmus/assessment/atrium"
	"isthmus/assessment/question"
)

// optionItem makes an item with options a, b, c ... of which the first are the key.
func optionItem(kind question.Kind, rule question.Rule, options, right int) question.Item {
	it := question.Item{ID: "it", Version: 2, Kind: kind, Rule: rule}
	for i := range options {
		id := string(rune('a' + i))
		it.Options = append(it.Options, question.Option{ID: id, Text: id, Feedback: "said of " + id})
		if i < right {
			it.Key = append(it.Key, id)
		}
	}
	return it
}

func chosen(ids string) question.Answer {
	var a question.Answer
	for _, r := range ids {
		a.Chosen = append(a.Chosen, string(r))
	}
	return a
}

// TestRules: what each rule gives, worked by hand.
func TestRules(t *testing.T) {
	tests := []struct {
		name    string
		it      question.Item
		chosen  string
		scheme  question.Scheme
		want    float64
		isRight bool
	}{
		{"single right", optionItem(question.SingleBest, "", 4, 1), "a", question.Scheme{}, 1, true},
		{"single wrong", optionItem(question.SingleBest, "", 4, 1), "b", question.Scheme{}, 0, false},
		{"single wrong, negative", optionItem(question.SingleBest, "", 4, 1), "b", question.Scheme{Negative: true}, -1.0 / 3, false},
		{"single left out, negative", optionItem(question.SingleBest, "", 4, 1), "", question.Scheme{Negative: true}, 0, false},
		{"several, all or nothing", optionItem(question.Several, "", 5, 3), "abd", question.Scheme{}, 0, false},
		{"several right in any order", optionItem(question.Several, "", 5, 3), "cab", question.Scheme{}, 1, true},
		{"several, too few", optionItem(question.Several, "", 5, 3), "ab", question.Scheme{}, 0, false},
		{"half from half: 2 of 3", optionItem(question.Several, question.HalfFromHalf, 5, 3), "abd", question.Scheme{}, 0.5, false},
		{"half from half: 1 of 3", optionItem(question.Several, question.HalfFromHalf, 5, 3), "ade", question.Scheme{}, 0, false},
		{"half from half: 1 of 2", optionItem(question.Several, question.HalfFromHalf, 5, 2), "ad", question.Scheme{}, 0.5, false},
		{"share: 2 of 3", optionItem(question.Several, question.Share, 5, 3), "abd", question.Scheme{}, 2.0 / 3, false},
		{"share, negative", optionItem(question.Several, question.Share, 5, 3), "de", question.Scheme{Negative: true}, 0, false},
		{"order right", optionItem(question.Ordering, question.Pairs, 4, 4), "abcd", question.Scheme{}, 1, true},
		{"order, one pair turned of six", optionItem(question.Ordering, question.Pairs, 4, 4), "abdc", question.Scheme{}, 4.0 / 6, false},
		{"order, two turned", optionItem(question.Ordering, question.Pairs, 4, 4), "badc", question.Scheme{}, 2.0 / 6, false},
		{"order, half turned", optionItem(question.Ordering, question.Pairs, 4, 4), "dabc", question.Scheme{}, 0, false},
		{"order reversed", optionItem(question.Ordering, question.Pairs, 4, 4), "dcba", question.Scheme{}, 0, false},
		{"order, all or nothing", optionItem(question.Ordering, "", 4, 4), "abdc", question.Scheme{}, 0, false},
	}
	for _, tt := range tests {
		mark, err := question.MarkItem(nil, tt.it, chosen(tt.chosen), tt.scheme)
		if err != nil || math.Abs(mark.Points-tt.want) > 1e-12 || mark.Right != tt.isRight || mark.Answered != (tt.chosen != "") || mark.Version != 2 {
			t.Errorf("%s: %+v, %v; want %v", tt.name, mark, err, tt.want)
		}
	}
}

func TestNumbers(t *testing.T) {
	it := question.Item{ID: "n", Kind: question.Numeric, Number: &question.Number{Value: 0.3, Tolerance: 0.1, Unit: "mm",
		Misses: []question.MissNumber{{Value: 3, Feedback: "ten times"}}}}
	for _, tt := range []struct {
		x    float64
		want float64
		says int
	}{{0.3, 1, 0}, {0.2, 1, 0}, {0.1 + 0.3, 1, 0}, {0.19, 0, 0}, {0.41, 0, 0}, {3, 0, 1}, {2.95, 0, 1}, {-0.3, 0, 0}} {
		mark, err := question.MarkItem(nil, it, question.Answer{Number: &tt.x}, question.Scheme{Negative: true})
		if err != nil || mark.Points != tt.want || len(mark.Says) != tt.says {
			t.Errorf("%v: %+v, %v", tt.x, mark, err)
		}
	}
}

// TestNoAnswer: what is no answer to an item is refused, and never marked wrong.
func TestNoAnswer(t *testing.T) {
	number, nan := 3.0, math.NaN()
	single, several, order := optionItem(question.SingleBest, "", 4, 1), optionItem(question.Several, "", 5, 2), optionItem(question.Ordering, "", 3, 3)
	numeric := question.Item{Kind: question.Numeric, Number: &question.Number{Value: 1, Unit: "mm"}}
	point := question.Item{Kind: question.OnMap, Map: &question.Task{Chamber: atrium.LeftAtrium, Draw: question.Point, Near: &question.Near{WithinMM: 5}, Key: []atrium.Vec{{1, 0, 0}}}}
	for _, tt := range []struct {
		name  string
		it    question.Item
		a     question.Answer
		field string
	}{
		{"two of one", single, chosen("ab"), "chosen"},
		{"unknown option", single, chosen("z"), "chosen[0]"},
		{"more than asked for", several, chosen("abc"), "chosen"},
		{"twice", several, chosen("aa"), "chosen[1]"},
		{"order not whole", order, chosen("ab"), "chosen"},
		{"a number for an option", single, question.Answer{Number: &number}, "number"},
		{"an option for a number", numeric, chosen("a"), "chosen"},
		{"not a number", numeric, question.Answer{Number: &nan}, "number"},
		{"a drawing for a number", numeric, question.Answer{Path: []atrium.Vec{{1, 0, 0}}}, "path"},
		{"two points", point, question.Answer{Path: []atrium.Vec{{1, 0, 0}, {0, 1, 0}}}, "path"},
		{"no direction", point, question.Answer{Path: []atrium.Vec{{math.NaN(), 0, 0}}}, "path[0]"},
	} {
		_, err := question.MarkItem(nil, tt.it, tt.a, question.Scheme{})
		if err == nil {
			t.Errorf("%s: marked", tt.name)
			continue
		}
		wantFault(t, err, tt.field, "")
	}
}

// TestMarkingIgnoresOrder: the order options stand in, and that several answers are chosen in, make no difference to a mark, and a mark is
// between 0 and 1, 1 for the key alone.
func TestMarkingIgnoresOrder(t *testing.T) {
	rules := map[question.Kind][]question.Rule{
		question.SingleBest: {""}, question.Several: {"", question.HalfFromHalf, question.Share}, question.Ordering: {"", question.Pairs},
	}
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom([]question.Kind{question.SingleBest, question.Several, question.Ordering}).Draw(t, "kind")
		n := rapid.IntRange(3, 8).Draw(t, "options")
		right := map[question.Kind]int{question.SingleBest: 1, question.Several: rapid.IntRange(2, n-1).Draw(t, "right"), question.Ordering: n}[kind]
		it := optionItem(kind, rapid.SampledFrom(rules[kind]).Draw(t, "rule"), n, right)
		ids := make([]string, n)
		for i, o := range it.Options {
			ids[i] = o.ID
		}
		a := question.Answer{Chosen: rapid.Permutation(ids).Draw(t, "answer")[:right]}
		want, err := question.MarkItem(nil, it, a, question.Scheme{})
		if err != nil {
			t.Fatal(err)
		}
		moved := it
		moved.Options = rapid.Permutation(it.Options).Draw(t, "moved")
		if kind != question.Ordering {
			moved.Key = rapid.Permutation(it.Key).Draw(t, "key")
			a.Chosen = rapid.Permutation(a.Chosen).Draw(t, "chosen")
		}
		have, err := question.MarkItem(nil, moved, a, question.Scheme{})
		if err != nil || have.Points != want.Points || have.Right != want.Right {
			t.Fatalf("%v as written, %v moved, %v", want, have, err)
		}
		isKey := slices.Equal(a.Chosen, moved.Key) || kind != question.Ordering && slices.Equal(slices.Sorted(slices.Values(a.Chosen)), slices.Sorted(slices.Values(it.Key)))
		if want.Points < 0 || want.Points > 1 || (want.Points == 1) != isKey || want.Right != isKey {
			t.Fatalf("%v points for %v, key %v", want.Points, a.Chosen, moved.Key)
		}
	})
}

// TestGuessing: over all answers, guessing gains nothing under negative marking, and an order by chance is worth little.
func TestGuessing(t *testing.T) {
	it, total := optionItem(question.SingleBest, "", 5, 1), 0.0
	for _, o := range it.Options {
		mark, err := question.MarkItem(nil, it, question.Answer{Chosen: []string{o.ID}}, question.Scheme{Negative: true})
		if err != nil {
			t.Fatal(err)
		}
		total += mark.Points
	}
	if math.Abs(total) > 1e-12 {
		t.Errorf("guessing gains %v", total)
	}
}
