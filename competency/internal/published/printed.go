package published

import (
	"math"
	"strconv"
	"strings"
	"testing"
)

// Printed is a figure of the source, as printed there.
type Printed struct {
	Output string  `json:"output"` // path into the outputs, list positions from 1
	Value  float64 `json:"published"`
	Unit   float64 `json:"unit"`   // of its last digit
	Status string  `json:"status"` // match, last_digit (one off in the last digit) or mismatch
	How    string  `json:"how"`    // seen in a source, or recalled from memory
}

// path is the figure's path as the other methods write it.
func (p Printed) path() string {
	steps := strings.Split(p.Output, ".")
	for i, step := range steps {
		if n, err := strconv.Atoi(step); err == nil {
			steps[i] = strconv.Itoa(n - 1)
		}
	}
	return strings.Join(steps, ".")
}

// Misprinted says why the source's figure at path does not hold; without it a figure marked as a mismatch fails the test.
func (c Case) Misprinted(path, why string) { c.excused[path] = why }

// NotOurs says why nothing of ours computes the figures whose paths start so; without it a printed figure that no test compared fails.
func (c Case) NotOurs(start, why string) { c.excused[start] = why }

// PrintedAt is the figure of the source for a path.
func (c Case) PrintedAt(t *testing.T, path string) float64 {
	t.Helper()
	for _, p := range c.Printed {
		if p.path() == path {
			return p.Value
		}
	}
	t.Fatalf("%s prints nothing at %s", c.ID, path)
	return 0
}

// comparePrinted holds every printed figure against what the test computed: to half a unit of its last digit, to one unit where it is
// known to be one off, and further away than that where it is known not to hold.
func (c Case) comparePrinted(t *testing.T) {
	t.Helper()
	if t.Failed() || t.Skipped() {
		return
	}
	for _, p := range c.Printed {
		path := p.path()
		why := c.excuse(path)
		got, computed := c.got[path]
		off := math.Abs(got-p.Value) / p.Unit
		switch {
		case !computed && why == "":
			t.Errorf("%s: %s is printed as %g and nothing compares it", c.ID, path, p.Value)
		case !computed:
		case p.Status == "mismatch" && why == "":
			t.Errorf("%s: %s is printed as %g, computed as %.10g, and the test does not say why", c.ID, path, p.Value, got)
		case p.Status == "mismatch" && off <= 1.05:
			t.Errorf("%s: %s = %.10g is printed as %g, which was said not to hold", c.ID, path, got, p.Value)
		case p.Status == "match" && off > 0.5+1e-6 || p.Status == "last_digit" && off > 1.05:
			t.Errorf("%s: %s = %.10g, printed as %g (%s; %s)", c.ID, path, got, p.Value, c.Source, p.How)
		}
	}
}

// excuse is what the test said of a path; empty when nothing.
func (c Case) excuse(path string) string {
	for start, why := range c.excused {
		if path == start || strings.HasPrefix(path, start+".") {
			return why
		}
	}
	return ""
}
