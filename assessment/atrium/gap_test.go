package atrium

import (
	"slices"
	"testing"
)

// TestLeavesOpen: what a gap leaves open, by circuit logic. A mitral line protects only when it reaches the annulus; a box only when all
// four sides are complete; a line between the cavae only when it reaches both.
func TestLeavesOpen(t *testing.T) {
	sides := append(slices.Clone(bothVeinPairs), FloorLine)
	for _, c := range []struct {
		name string
		set  LesionSet
		gaps int
		open string
	}{
		{"a mitral line short of the annulus", drawnAfter(closedBox, LeftAtrium, Vec{-0.30, -0.15, 0.95}, Vec{-0.30, -0.60, 0.60}, Vec{-0.30, -0.85, 0.35}), 1, "round the mitral annulus"},
		{"a roof line short of the right ring", drawnAfter(sides, LeftAtrium, Vec{-0.55, 0.55, 0.60}, Vec{0, 0.62, 0.75}, Vec{0.12, 0.62, 0.72}), 1, "posterior wall not isolated"},
		{"a line between the cavae short of both", drawnAfter(nil, RightAtrium, Vec{0.40, 0.60, 0.65}, Vec{0.55, 0, 0.72}, Vec{0.40, -0.40, 0.72}), 2, "round the superior vena cava"},
	} {
		r, err := Default().Conduct(c.set)
		if err != nil {
			t.Fatal(err)
		}
		gaps := append(r.LeftAtrium.Gaps, r.RightAtrium.Gaps...)
		if len(gaps) != c.gaps {
			t.Errorf("%s: %d gaps, want %d: %+v", c.name, len(gaps), c.gaps, gaps)
		}
		for _, gap := range gaps {
			if !slices.Contains(gap.LeavesOpen, c.open) {
				t.Errorf("%s leaves open %q, want %q among it", c.name, gap.LeavesOpen, c.open)
			}
		}
	}
	loose, _ := Default().Conduct(drawnAfter(nil, LeftAtrium, Vec{0.75, 0.1, -0.6}, Vec{0.65, 0.2, -0.7}))
	for _, gap := range loose.LeftAtrium.Gaps {
		if slices.Contains(gap.LeavesOpen, "posterior wall not isolated") {
			t.Errorf("a short loose line, closed, would not isolate a wall: %q", gap.LeavesOpen)
		}
	}
}

// drawnAfter is named lesions with one drawn line.
func drawnAfter(ids []LesionID, chamber Chamber, path ...Vec) LesionSet {
	set := setOf("", ids...)
	set.Lesions = append(set.Lesions, Lesion{Chamber: chamber, Path: path})
	return set
}
