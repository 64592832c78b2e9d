package published_test

import (
	"fmt"
	"maps"
	"math"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"
	"time"
)

// fastEnough is how many times faster than R with lme4 the statistics of a large programme must be.
const fastEnough = 20

// TestCompareSpeed runs testdata/speed.R and the same work here in turn, five times, and compares the medians and the check sums:
//
//	make compare-speed
//
// A figure of R's own with lme4 is what counts; the one with base R and our short cut is printed beside it.
func TestCompareSpeed(t *testing.T) {
	script := os.Getenv("ISTHMUS_SPEED")
	if script == "" {
		t.Skip("make compare-speed runs this: it needs R")
	}
	p := newProgramme()
	parts := map[string]func() (float64, error){"curves": p.curves, "intervals": p.intervals, "severity": p.severity}
	seconds, sums := map[string][]float64{}, map[string]float64{}
	for range 5 {
		printed, err := exec.Command("Rscript", "--vanilla", script).Output()
		if err != nil {
			t.Fatal(err)
		}
		for line := range strings.Lines(string(printed)) {
			var name string
			var took, sum float64
			if _, err := fmt.Sscan(line, &name, &took, &sum); err != nil {
				t.Fatalf("R printed %q: %v", line, err)
			}
			seconds["R "+name], sums["R "+name] = append(seconds["R "+name], took), sum
		}
		for name, work := range parts {
			start := time.Now()
			sum, err := work()
			if err != nil {
				t.Fatal(err)
			}
			seconds[name], sums[name] = append(seconds[name], time.Since(start).Seconds()), sum
		}
	}
	median := func(name string) float64 {
		slices.Sort(seconds[name])
		return seconds[name][len(seconds[name])/2]
	}
	for _, by := range []string{"lme4", "base"} {
		if seconds["R severity("+by+")"] == nil {
			t.Logf("R has no %s: nothing to say about it", by)
			continue
		}
		here, there := 0.0, 0.0
		for _, name := range slices.Sorted(maps.Keys(parts)) {
			other := "R " + name
			if name == "severity" {
				other += "(" + by + ")"
			}
			if math.Abs(sums[name]/sums[other]-1) > 1e-4 {
				t.Errorf("%s adds up to %.6g, in R to %.6g", name, sums[name], sums[other])
			}
			t.Logf("%-9s %7.1f ms, %-16s %7.1f ms", name, 1000*median(name), other, 1000*median(other))
			here, there = here+median(name), there+median(other)
		}
		t.Logf("together %.0f ms and %.0f ms: %.1f times faster than R with %s", 1000*here, 1000*there, there/here, by)
		if by == "lme4" && there/here < fastEnough {
			t.Errorf("not %d times faster", fastEnough)
		}
	}
}
