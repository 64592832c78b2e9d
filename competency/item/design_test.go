package item_test

import (
	"encoding/json"
	"errors"
	"math"
	"os"
	"testing"

	"isthmus/competency/item"
)

// TestRaschNotAsked compares with eRm (testdata/asked.R) where each person was asked six of ten items.
func TestRaschNotAsked(t *testing.T) {
	data, err := os.ReadFile("testdata/asked.json")
	if err != nil {
		t.Fatal(err)
	}
	var want struct {
		Answers        [][]*float64
		Difficulty, SE []float64
		Infit, Outfit  []float64
		LogLik         float64
	}
	if err := json.Unmarshal(data, &want); err != nil {
		t.Fatal(err)
	}
	answers := make([][]float64, len(want.Answers))
	for i, row := range want.Answers {
		for _, x := range row {
			if x == nil {
				answers[i] = append(answers[i], item.NotAsked)
			} else {
				answers[i] = append(answers[i], *x)
			}
		}
	}
	got, err := item.FitRasch(answers)
	if err != nil {
		t.Fatal(err)
	}
	for j := range want.Difficulty { // eRm stops at a slope of 1e-6 or so
		if math.Abs(got.Difficulty[j]-want.Difficulty[j]) > 1e-4 || math.Abs(got.SE[j]-want.SE[j]) > 1e-4 {
			t.Errorf("item %d: %.6f (%.6f), eRm %.6f (%.6f)", j, got.Difficulty[j], got.SE[j], want.Difficulty[j], want.SE[j])
		}
		if math.Abs(got.Infit[j]-want.Infit[j]) > 1e-4 || math.Abs(got.Outfit[j]-want.Outfit[j]) > 1e-4 {
			t.Errorf("item %d: infit %.6f, outfit %.6f, eRm %.6f and %.6f", j, got.Infit[j], got.Outfit[j], want.Infit[j], want.Outfit[j])
		}
	}
	if math.Abs(got.LogLik-want.LogLik) > 1e-5 {
		t.Errorf("log-likelihood %.8f, eRm %.8f", got.LogLik, want.LogLik)
	}
}

// TestRaschApart: where nobody was asked items of both halves there is no common scale.
func TestRaschApart(t *testing.T) {
	na := item.NotAsked
	var answers [][]float64
	for range 20 {
		answers = append(answers, []float64{1, 0, na, na}, []float64{0, 1, na, na}, []float64{na, na, 1, 0}, []float64{na, na, 0, 1})
	}
	if _, err := item.FitRasch(answers); !errors.Is(err, item.ErrNoSettle) {
		t.Errorf("two halves that have nothing in common: %v", err)
	}
}

// TestMantel compares with mantelhaen.test of R 4.2 on the admissions of Berkeley 1973 (Bickel 1975, Science 187:398; UCBAdmissions of R's
// datasets): men are the reference, admission the right answer, departments the strata.
func TestMantel(t *testing.T) {
	var right, other []bool
	var stratum []int
	for department, t := range [][4]int{{512, 313, 89, 19}, {353, 207, 17, 8}, {120, 205, 202, 391}, {138, 279, 131, 244}, {53, 138, 94, 299}, {22, 351, 24, 317}} {
		for at, n := range t {
			for range n {
				right, other, stratum = append(right, at%2 == 0), append(other, at >= 2), append(stratum, department)
			}
		}
	}
	d, err := item.Mantel(right, stratum, other, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	for name, pair := range map[string][2]float64{
		"odds ratio": {d.OddsRatio, 0.9046968}, "low": {d.Low, 0.7719074}, "high": {d.High, 1.0603298}, "chi-square": {d.ChiSquare, 1.4269}, "p": {d.P, 0.2323},
		"delta": {d.Delta, -2.35 * math.Log(0.9046968)}, "reference": {float64(d.N[0]), 2691}, "other": {float64(d.N[1]), 1835},
	} {
		if math.Abs(pair[0]-pair[1]) > 1e-4 {
			t.Errorf("%s %.7f, R %.7f", name, pair[0], pair[1])
		}
	}
	if _, err := item.Mantel(right[:1], stratum[:1], other[:1], 0.95); !errors.Is(err, item.ErrFew) {
		t.Errorf("one person: %v", err)
	}
}
