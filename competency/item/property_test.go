package item_test

import (
	"errors"
	"math"
	"testing"

	"isthmus/competency/item"

	"pgregory.net/rapid"
)

// TestAbility holds that a higher total means a higher ability, that the expected total at the likeliest ability is the total, and that the
// mirrored total has the mirrored ability, of items without a wide gap.
func TestAbility(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		difficulty := rapid.SliceOfN(rapid.Float64Range(-1, 1), 2, 30).Draw(t, "difficulty")
		turned := make([]float64, len(difficulty))
		for j, b := range difficulty {
			turned[j] = -b
		}
		last := math.Inf(-1)
		for total := range len(difficulty) + 1 {
			p, mirror := item.Ability(difficulty, total), item.Ability(turned, len(difficulty)-total)
			if !(p.Weighted > last && p.SE > 0) || math.Abs(p.Weighted+mirror.Weighted) > 1e-6 {
				t.Fatalf("%+v after %g, mirrored %+v", p, last, mirror)
			}
			last = p.Weighted
			if total == 0 || total == len(difficulty) {
				continue
			}
			expected := 0.0
			for _, b := range difficulty {
				expected += 1 / (1 + math.Exp(b-p.Likely))
			}
			if math.Abs(expected-float64(total)) > 1e-6 {
				t.Fatalf("%+v expects a total of %g", p, expected)
			}
		}
	})
}

// TestSmallNumbers walks no, one and two people, all right and all wrong.
func TestSmallNumbers(t *testing.T) {
	right, wrong := []float64{1, 1, 1}, []float64{0, 0, 0}
	for _, answers := range [][][]float64{nil, {right}} {
		if _, err := item.Analyse(answers, item.UpperLower); !errors.Is(err, item.ErrFew) {
			t.Errorf("%d people: %v", len(answers), err)
		}
	}
	for _, answers := range [][][]float64{{right, right}, {wrong, wrong}, {right, wrong}} {
		list, err := item.Analyse(answers, item.UpperLower)
		if err != nil || list[0].Discriminal != answers[0][0]-answers[1][0] {
			t.Errorf("%v: %+v, %v", answers, list, err)
		}
		if alike := answers[0][0] == answers[1][0]; alike != math.IsNaN(list[0].Total) {
			t.Errorf("%v: a correlation of %g", answers, list[0].Total)
		}
		if _, err := item.FitRasch(answers); !errors.Is(err, item.ErrFew) {
			t.Errorf("%v tell a difficulty: %v", answers, err)
		}
	}
	if cut, err := item.Angoff([][]float64{{0.5, 0.7}}); err != nil || cut.Mark != 1.2 || !math.IsNaN(cut.SE) {
		t.Errorf("one judge: %+v, %v", cut, err)
	}
	if _, err := item.BorderlineRegression([]float64{1, 2}, []float64{3, 4}, 1); !errors.Is(err, item.ErrFew) {
		t.Errorf("two people: %v", err)
	}
}
