package question_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"isthmus/assessment/question"
)

func TestAlike(t *testing.T) {
	for _, tt := range []struct {
		a, b      string
		low, high float64
	}{
		{"Where is the gap?", "where is the GAP", 1, 1},
		{"", "", 1, 1},
		{"", "ab", 0, 0},
		{"abcd", "abce", 0.5, 0.5}, // abc of abc, bcd and abc, bce: 2 x 1 / 4
		{"Which line closes the box above?", "Which line closes the box below?", 0.7, 0.95},
		{"Which line closes the box above?", "How many patients needed a pacemaker?", 0, 0.2},
	} {
		if have := question.Alike(tt.a, tt.b); have < tt.low-1e-12 || have > tt.high+1e-12 {
			t.Errorf("Alike(%q, %q) = %v, want %v to %v", tt.a, tt.b, have, tt.low, tt.high)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.String().Draw(t, "a"), rapid.String().Draw(t, "b")
		have := question.Alike(a, b)
		if have < 0 || have > 1 || math.Abs(have-question.Alike(b, a)) > 1e-12 || question.Alike(a, a) != 1 {
			t.Fatalf("%v", have)
		}
	})
}

// TestTwinsWarn: a stem with a word exchanged is found, under whatever id; an item is no twin of itself.
func TestTwinsWarn(t *testing.T) {
	bank := question.Starter()
	it, _ := bank.Item("mitral-line-without-sinus")
	if twins := it.Twins(bank.Items()); len(twins) != 0 {
		t.Errorf("a twin of itself: %v", twins)
	}
	it.ID = "another"
	it.Stem = "A mitral isthmus line was carried to the annulus, but nothing was done to the coronary sinus. What may still carry a wave round the mitral annulus?"
	if twins := it.Twins(bank.Items()); len(twins) != 1 || twins[0].Item != "mitral-line-without-sinus" {
		t.Errorf("not found: %v", twins)
	}
}

// TestStemsFindAllTwins: made ready or one by one, the same twins are found, as alike as Alike says.
func TestStemsFindAllTwins(t *testing.T) {
	stem := rapid.StringMatching("(Which|What|Where)( line| box| gap| vein){0,4}[?!]?|.{0,3}")
	rapid.Check(t, func(t *rapid.T) {
		var items []question.Item
		for i, text := range rapid.SliceOfN(stem, 1, 12).Draw(t, "stems") {
			items = append(items, question.Item{ID: question.ItemID(rune('a' + i)), Stem: text})
		}
		it := items[rapid.IntRange(0, len(items)-1).Draw(t, "item")]
		found := map[question.ItemID]float64{}
		for _, twin := range question.NewStems(items).Twins(it) {
			found[twin.Item] = twin.Alike
		}
		for _, other := range items {
			want := question.Alike(it.Stem, other.Stem)
			if have, twin := found[other.ID]; twin != (other.ID != it.ID && want >= question.AlikeEnough) || twin && have != want {
				t.Fatalf("%q and %q are %v alike, found %v", it.Stem, other.Stem, want, have)
			}
		}
	})
}
