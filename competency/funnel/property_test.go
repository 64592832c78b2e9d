package funnel_test

import (
	"testing"

	"isthmus/competency/funnel"

	"pgregory.net/rapid"
)

// TestFunnelNarrows holds that the target lies between its limits, the outer ones outside the inner, and that they close in on it as cases
// grow fourfold.
func TestFunnelNarrows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		target, n := rapid.Float64Range(0.05, 0.95).Draw(t, "target"), rapid.IntRange(1, 500).Draw(t, "n")
		at := func(n int, tail float64) float64 {
			limit, err := funnel.Limit(target, n, tail)
			if err != nil {
				t.Fatal(err)
			}
			return limit
		}
		low, high := at(n, funnel.Inner), at(n, 1-funnel.Inner)
		if !(at(n, funnel.Outer) < low && low < target && target <= high && high < at(n, 1-funnel.Outer)) {
			t.Fatalf("%g, %g around %g with %d cases", low, high, target, n)
		}
		if later := at(4*n, 1-funnel.Inner) - at(4*n, funnel.Inner); later >= high-low {
			t.Fatalf("%d cases: %g apart, four times as many: %g", n, high-low, later)
		}
	})
}
