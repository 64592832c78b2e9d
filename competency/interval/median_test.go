package interval

import (
	"errors"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// TestMedian: which order statistics bound the 95 % interval, and its exact coverage. Base R: k <- qbinom(0.025, n, 0.5) and
// 1 - 2 * pbinom(k - 1, n, 0.5); the pairs stand in tables of nonparametric texts as well (from memory).
func TestMedian(t *testing.T) {
	for _, c := range []struct {
		n, k     int
		coverage float64
	}{{6, 1, 0.96875}, {8, 1, 0.9921875}, {9, 2, 0.9609375}, {10, 2, 0.978515625}, {20, 6, 0.95861053466796875}, {25, 8, 0.95671474933624268}} {
		values := make([]float64, c.n)
		for i := range values {
			values[i] = float64((i*7)%c.n + 1) // 1 to n where 7 and n share no divisor
		}
		got, err := Median(values, 0.95)
		if err != nil || got.Low != float64(c.k) || got.High != float64(c.n+1-c.k) || math.Abs(got.Coverage-c.coverage) > 1e-12 || got.Median != float64(c.n+1)/2 {
			t.Errorf("n = %d: %+v, %v; want values %d and %d, coverage %v", c.n, got, err, c.k, c.n+1-c.k, c.coverage)
		}
	}
	for _, c := range []struct {
		values []float64
		level  float64
		want   error
	}{{nil, 0.95, ErrNoTrials}, {[]float64{1, 2, 3, 4, 5}, 0.95, ErrTooFew}, {[]float64{1}, 1, ErrLevel}, {[]float64{1}, math.NaN(), ErrLevel}} {
		if _, err := Median(c.values, c.level); !errors.Is(err, c.want) {
			t.Errorf("%v at %v: %v, want %v", c.values, c.level, err, c.want)
		}
	}
	if m, _ := Median([]float64{4, 1}, 0.95); m.Median != 2.5 {
		t.Errorf("the median of too few for an interval is %v", m.Median)
	}
}

// TestMedianHolds: the interval holds the median, covers at least as it says, and is one of the values at both ends.
func TestMedianHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		values := rapid.SliceOfN(rapid.Float64Range(-1e6, 1e6), 1, 200).Draw(t, "values")
		level := rapid.Float64Range(0.01, 0.999).Draw(t, "level")
		kept := slices.Clone(values)
		m, err := Median(values, level)
		if !slices.Equal(kept, values) {
			t.Fatal("the values were changed")
		}
		if err != nil {
			return
		}
		if m.Low > m.Median || m.High < m.Median || m.Coverage < level-1e-12 || !slices.Contains(values, m.Low) || !slices.Contains(values, m.High) {
			t.Fatalf("%+v", m)
		}
	})
}
