package interval_test

import (
	"errors"
	"math"
	"testing"

	"isthmus/competency/interval"

	"pgregory.net/rapid"
)

var methods = map[string]func(successes, n int, level float64) (interval.Proportion, error){
	"Wilson": interval.Wilson, "Clopper-Pearson": interval.ClopperPearson, "mid-P": interval.MidP,
}

// TestIntervals holds what must be true of every interval: it contains its estimate, is shorter for more trials of the same share, longer
// for a higher level, and mirrored for failures.
func TestIntervals(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 300).Draw(t, "n")
		x := rapid.IntRange(0, n).Draw(t, "x")
		times := rapid.IntRange(2, 5).Draw(t, "times")
		level := rapid.Float64Range(0.5, 0.99).Draw(t, "level")
		for name, of := range methods {
			at := func(x, n int, level float64) interval.Proportion {
				p, err := of(x, n, level)
				if err != nil {
					t.Fatal(err)
				}
				if !(0 <= p.Low && p.Low <= p.Estimate+1e-12 && p.Estimate <= p.High+1e-12 && p.High <= 1) {
					t.Fatalf("%s: %+v", name, p)
				}
				return p
			}
			p, more, surer, mirror := at(x, n, level), at(x*times, n*times, level), at(x, n, level+0.009), at(n-x, n, level)
			if width := p.High - p.Low; more.High-more.Low >= width || surer.High-surer.Low <= width {
				t.Fatalf("%s: %+v is not longer than %+v, or not shorter than %+v", name, p, more, surer)
			}
			if math.Abs(p.Low-(1-mirror.High)) > 1e-9 {
				t.Fatalf("%s: %+v is not the mirror of %+v", name, p, mirror)
			}
		}
		exact, _ := interval.ClopperPearson(x, n, level)
		middle, _ := interval.MidP(x, n, level)
		if middle.Low < exact.Low-1e-9 || middle.High > exact.High+1e-9 {
			t.Fatalf("mid-P %+v reaches beyond %+v", middle, exact)
		}
		belief, err := interval.Believe(x, n, 1, 1, level)
		if err != nil || !(belief.Low < belief.Median && belief.Median < belief.High) {
			t.Fatalf("%+v, %v", belief, err)
		}
		sum := 0.0
		for k := range 6 {
			sum += belief.Next(k, 5)
		}
		if math.Abs(sum-1) > 1e-9 || math.Abs(belief.AtLeast(0, 5)-1) > 1e-9 {
			t.Fatalf("the next five trials have probability %g", sum)
		}
		y := rapid.IntRange(0, n).Draw(t, "y")
		between, err := interval.Between(x, n, y, n, level)
		if err != nil || !(-1 <= between.Low && between.Low <= between.Estimate && between.Estimate <= between.High && between.High <= 1) {
			t.Fatalf("%+v, %v", between, err)
		}
		wider, _ := interval.Between(x*times, n*times, y*times, n*times, level)
		if wider.High-wider.Low >= between.High-between.Low {
			t.Fatalf("%+v does not shrink to %+v", between, wider)
		}
	})
}

// TestCovers holds that the exact interval covers at least as often as it says, for every number of trials up to 30: the sum of the
// probabilities of all outcomes whose interval holds the true share.
func TestCovers(t *testing.T) {
	const level = 0.9
	for _, share := range []float64{0.02, 0.1, 0.37, 0.5, 0.9} {
		for n := 1; n <= 30; n++ {
			covered, p := 0.0, math.Pow(1-share, float64(n)) // the probability of x successes
			for x := 0; x <= n; x++ {
				if c, _ := interval.ClopperPearson(x, n, level); c.Low <= share && share <= c.High {
					covered += p
				}
				p *= share / (1 - share) * float64(n-x) / float64(x+1)
			}
			if covered < level-1e-9 {
				t.Errorf("of %d trials at %g the interval covers %g", n, share, covered)
			}
		}
	}
}

// TestSmallNumbers walks no, one and two trials, all success and all failure.
func TestSmallNumbers(t *testing.T) {
	for name, of := range methods {
		if _, err := of(0, 0, 0.9); !errors.Is(err, interval.ErrNoTrials) {
			t.Errorf("%s of nothing: %v", name, err)
		}
		for _, n := range []int{1, 2} {
			none, err := of(0, n, 0.9)
			if err != nil || none.Low != 0 || none.High < 0.55 {
				t.Errorf("%s of 0 of %d: %+v, %v", name, n, none, err)
			}
			all, err := of(n, n, 0.9)
			if err != nil || all.High != 1 || all.Low > 0.45 {
				t.Errorf("%s of %d of %d: %+v, %v", name, n, n, all, err)
			}
		}
	}
	// One trial, exactly: the upper limit of 0 of 1 at 90 % is 1 - 0.05.
	if p, _ := interval.ClopperPearson(0, 1, 0.9); math.Abs(p.High-0.95) > 1e-12 {
		t.Errorf("%+v", p)
	}
	if p, _ := interval.MidP(0, 1, 0.9); math.Abs(p.High-0.9) > 1e-9 { // half of 1 - p is 0.05
		t.Errorf("%+v", p)
	}
}
