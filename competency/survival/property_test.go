package survival_test

import (
	"math"
	"testing"

	"isthmus/competency/survival"

	"pgregory.net/rapid"
)

// TestLimitsCloseIn holds that the limits contain the curve and close in as the same subjects repeat, and that the curve itself stays.
func TestLimitsCloseIn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		subjects := make([]survival.Subject, rapid.IntRange(1, 25).Draw(t, "n"))
		for i := range subjects {
			subjects[i] = survival.Subject{Time: float64(rapid.IntRange(1, 9).Draw(t, "time")), Event: rapid.Bool().Draw(t, "event")}
		}
		var many []survival.Subject
		for range 4 {
			many = append(many, subjects...)
		}
		once, err := survival.KaplanMeier(subjects, 0.9)
		if err != nil {
			t.Fatal(err)
		}
		often, err := survival.KaplanMeier(many, 0.9)
		if err != nil {
			t.Fatal(err)
		}
		last := 1.0
		for i, step := range once.Steps {
			more := often.Steps[i]
			if math.Abs(step.Survival-more.Survival) > 1e-12 || step.Survival >= last {
				t.Fatalf("%+v, %+v after %g", step, more, last)
			}
			last = step.Survival
			if step.Survival == 0 {
				continue
			}
			if !(0 <= step.Low && step.Low <= step.Survival && step.Survival <= step.High && step.High <= 1) || more.High-more.Low >= step.High-step.Low {
				t.Fatalf("%+v does not close in to %+v", step, more)
			}
		}
	})
}

// TestSmallNumbers walks one and two subjects, with all events and with none.
func TestSmallNumbers(t *testing.T) {
	for _, n := range []int{1, 2} {
		for _, event := range []bool{false, true} {
			subjects := make([]survival.Subject, n)
			for i := range subjects {
				subjects[i] = survival.Subject{Time: float64(i + 1), Event: event}
			}
			curve, err := survival.KaplanMeier(subjects, 0.9)
			if err != nil {
				t.Fatal(err)
			}
			time, low, high := curve.Quantile(0.5)
			if !event {
				if len(curve.Steps) != 0 || !math.IsNaN(time) || !math.IsNaN(low) || !math.IsNaN(high) {
					t.Errorf("%d without an event: %+v, median %g", n, curve, time)
				}
				continue
			}
			if end := curve.Steps[n-1]; end.Survival != 0 || !math.IsNaN(end.Low) || math.IsNaN(time) {
				t.Errorf("%d events: %+v, median %g", n, end, time)
			}
		}
	}
}
