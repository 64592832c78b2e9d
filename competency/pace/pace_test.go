package pace

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/mathext"
	"pgregory.net/rapid"
)

// TestFor holds the waits to R 4's negative binomial: the time at which 1 - pnbinom(n - 1, size = k + 1/2, prob = T / (T + t)) reaches 5, 50
// and 95 %, found with uniroot.
func TestFor(t *testing.T) {
	for _, c := range []struct {
		n, events         int
		time              float64
		low, median, high float64
	}{
		{1, 12, 365, 1.5008, 20.8116, 98.8475},
		{5, 12, 365, 53.4841, 140.1194, 326.5251},
		{4, 3, 200, 65.2975, 231.4495, 851.5944},
		{11, 40, 365, 53.2081, 96.9464, 166.0667},
	} {
		got, err := For(c.n, c.events, c.time, 0.90)
		if err != nil || math.Abs(got.Low-c.low)+math.Abs(got.Median-c.median)+math.Abs(got.High-c.high) > 0.001 || got.Level != 0.90 {
			t.Errorf("the wait for %d after %d in %g days is %+v (%v), want %g, %g, %g", c.n, c.events, c.time, got, err, c.low, c.median, c.high)
		}
	}
}

// TestForCoverage: the chance of n further events within the wait, summed term by term from the negative binomial law, is what it says.
func TestForCoverage(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, events, time := rapid.IntRange(1, 30).Draw(t, "n"), rapid.IntRange(0, 60).Draw(t, "events"), rapid.Float64Range(1, 2000).Draw(t, "time")
		wait, err := For(n, events, time, 0.8)
		if err != nil {
			t.Fatal(err)
		}
		for want, at := range map[float64]float64{0.1: wait.Low, 0.5: wait.Median, 0.9: wait.High} {
			size, p := float64(events)+0.5, time/(time+at)
			fewer := 0.0
			for k := range n {
				fewer += math.Exp(size*math.Log(p) + float64(k)*math.Log1p(-p) - math.Log(size+float64(k)) - mathext.Lbeta(size, float64(k)+1))
			}
			if math.Abs(1-fewer-want) > 1e-6 {
				t.Fatalf("within %g there are %d with %g, want %g", at, n, 1-fewer, want)
			}
		}
	})
}

// TestForGrows: more to wait for takes longer, a faster pace is shorter.
func TestForGrows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, events, time := rapid.IntRange(1, 50).Draw(t, "n"), rapid.IntRange(0, 100).Draw(t, "events"), rapid.Float64Range(1, 2000).Draw(t, "time")
		wait, _ := For(n, events, time, 0.9)
		longer, _ := For(n+1, events, time, 0.9)
		sooner, _ := For(n, events+1, time, 0.9)
		if !(wait.Low < wait.Median && wait.Median < wait.High) || longer.Median <= wait.Median || sooner.Median >= wait.Median {
			t.Fatalf("%+v, one more %+v, faster %+v", wait, longer, sooner)
		}
	})
}

func TestForRefuses(t *testing.T) {
	for _, c := range []struct {
		n, events   int
		time, level float64
		want        error
	}{
		{0, 3, 10, 0.9, ErrEvents}, {1, -1, 10, 0.9, ErrEvents}, {1, 3, 0, 0.9, ErrTime}, {1, 3, math.NaN(), 0.9, ErrTime},
		{1, 3, math.Inf(1), 0.9, ErrTime}, {1, 3, 10, 1, ErrLevel}, {1, 3, 10, math.NaN(), ErrLevel},
	} {
		if _, err := For(c.n, c.events, c.time, c.level); !errors.Is(err, c.want) {
			t.Errorf("%+v gives %v", c, err)
		}
	}
}
