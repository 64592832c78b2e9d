package rating_test

import (
	"errors"
	"math"
	"testing"

	"isthmus/competency/rating"

	"pgregory.net/rapid"
)

// stack repeats a table's rows.
func stack(table [][]float64, times int) [][]float64 {
	var out [][]float64
	for range times {
		out = append(out, table...)
	}
	return out
}

// TestCoefficients holds that every coefficient lies within its limits, that more subjects like these bring them closer, and that two raters
// are as like each other whichever is called the first.
func TestCoefficients(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, k := rapid.IntRange(3, 12).Draw(t, "subjects"), rapid.IntRange(2, 5).Draw(t, "raters")
		ratings, counts := make([][]float64, n), [][]float64{{0, 0, 0}, {0, 0, 0}, {0, 0, 0}}
		turned := [][]float64{{0, 0, 0}, {0, 0, 0}, {0, 0, 0}}
		for i := range ratings {
			ratings[i] = make([]float64, k)
			for j := range ratings[i] {
				ratings[i][j] = float64(rapid.IntRange(0, 2).Draw(t, "rating"))
			}
			a, b := int(ratings[i][0]), int(ratings[i][1])
			counts[a][b]++
			turned[b][a]++
		}
		icc, err := rating.ICC(ratings, 0.9)
		if err == nil {
			more, err := rating.ICC(stack(ratings, 3), 0.9)
			if errors.Is(err, rating.ErrNoRange) {
				t.Skip("raters contradict one another until a coefficient has no value")
			}
			if err != nil {
				t.Fatal(err)
			}
			for i, pair := range [][2]rating.Coefficient{
				{icc.OneWay, more.OneWay}, {icc.Consistency, more.Consistency}, {icc.ConsistencyMean, more.ConsistencyMean}, {icc.OneWayMean, more.OneWayMean},
			} {
				c, m := pair[0], pair[1]
				if !(c.Low <= c.Value && c.Value <= c.High && c.High <= 1) || m.High-m.Low > c.High-c.Low+1e-9 {
					t.Fatalf("%d: %+v, with three times the subjects %+v", i, c, m)
				}
			}
		} else if !errors.Is(err, rating.ErrNoRange) {
			t.Fatal(err)
		}
		kappa, err := rating.Kappa(counts, rating.Quadratic(3), 0.9)
		if errors.Is(err, rating.ErrNoRange) {
			return
		}
		if err != nil || !(kappa.Low <= kappa.Kappa && kappa.Kappa <= kappa.High && kappa.Kappa <= 1+1e-12) {
			t.Fatalf("%+v, %v", kappa, err)
		}
		other, err := rating.Kappa(turned, rating.Quadratic(3), 0.9)
		if err != nil || math.Abs(other.Kappa-kappa.Kappa) > 1e-12 || math.Abs(other.SE*other.SE-kappa.SE*kappa.SE) > 1e-12 {
			t.Fatalf("%+v turned is %+v", kappa, other)
		}
	})
}

// TestShares holds that components are not negative, make one whole, and follow the unit of the ratings.
func TestShares(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(12, 40).Draw(t, "n")
		y, tenfold, trainee, assessor := make([]float64, n), make([]float64, n), make([]int, n), make([]int, n)
		for i := range n {
			y[i] = rapid.Float64Range(1, 5).Draw(t, "rating")
			tenfold[i] = 10*y[i] + 3
			trainee[i], assessor[i] = rapid.IntRange(0, 4).Draw(t, "trainee"), i%3
		}
		trainee[0] = 1
		v, err := rating.Components(y, []rating.Factor{{Name: "trainee", Level: trainee}, {Name: "assessor", Level: assessor}})
		if err != nil {
			t.Skip(err)
		}
		whole := v.Residual
		for _, c := range v.Components {
			if !(c.Variance >= 0 && c.Share >= 0 && c.Share <= 1) {
				t.Fatalf("%+v", c)
			}
			whole += c.Variance
			for _, e := range c.Effects {
				if !(e.SE <= e.PredictionSE+1e-12) {
					t.Fatalf("%+v", e)
				}
			}
		}
		scaled, err := rating.Components(tenfold, []rating.Factor{{Name: "trainee", Level: trainee}, {Name: "assessor", Level: assessor}})
		if err != nil {
			t.Fatal(err)
		}
		again := scaled.Residual
		for _, c := range scaled.Components {
			again += c.Variance
		}
		if math.Abs(again/(100*whole)-1) > 1e-3 || math.Abs(scaled.Mean-10*v.Mean-3) > 1e-2 {
			t.Fatalf("%g and %g in tenfold units", whole, again)
		}
	})
}

// TestSmallNumbers walks what is too little, all alike, and raters who agree on everything.
func TestSmallNumbers(t *testing.T) {
	for _, table := range [][][]float64{nil, {{1, 2}}, {{1}, {2}}} {
		if _, err := rating.ICC(table, 0.9); !errors.Is(err, rating.ErrShape) {
			t.Errorf("%v: %v, want %v", table, err, rating.ErrShape)
		}
		if _, err := rating.Alpha(table, 0.9); !errors.Is(err, rating.ErrShape) {
			t.Errorf("%v: %v, want %v", table, err, rating.ErrShape)
		}
	}
	for _, table := range [][][]float64{{{1, 1}, {1, 1}}, {{1, 2}, {2, 1}}} { // all alike; subjects alike
		if icc, err := rating.ICC(table, 0.9); !errors.Is(err, rating.ErrNoRange) {
			t.Errorf("%v: %+v, %v", table, icc, err)
		}
	}
	icc, err := rating.ICC([][]float64{{1, 1}, {2, 2}}, 0.9)
	if one := (rating.Coefficient{Value: 1, Low: 1, High: 1}); err != nil || icc.OneWay != one || icc.Agreement != one || icc.ConsistencyMean != one {
		t.Errorf("raters who agree on everything: %+v, %v", icc, err)
	}
	icc, err = rating.ICC([][]float64{{1, 2}, {3, 4}, {7, 8}}, 0.9) // one rater is a level above the other throughout
	if err != nil || icc.Consistency.Value != 1 || !(icc.Agreement.Low < icc.Agreement.Value && icc.Agreement.Value < 1 && icc.Agreement.High <= 1) {
		t.Errorf("raters a level apart: %+v, %v", icc, err)
	}
	both := [][]float64{{1, 0}, {0, 1}}
	if kappa, err := rating.Kappa(both, rating.Plain(2), 0.9); err != nil || kappa.Kappa != 1 || kappa.SE != 0 {
		t.Errorf("two subjects: %+v, %v", kappa, err)
	}
	for n := range 3 {
		if _, err := rating.Components(make([]float64, n), nil); !errors.Is(err, rating.ErrTooFew) {
			t.Errorf("%d ratings: %v", n, err)
		}
	}
}
