package atrium

import (
	"math"
	"strings"
	"testing"
)

// TestJoin: what a line's end reaches, where it is open and how wide. Distances are great-circle lengths on a normal left atrium (25 mm).
func TestJoin(t *testing.T) {
	annulus := Openings(LeftAtrium, 0)[0]
	wall := Vec{-0.30, -0.60, 0.60}.unit()
	above := func(mm float64) Vec { return towards(annulus.Centre, wall, annulus.reach()+mm/normalLeftRadiusMM) }
	floor := Vec{-0.30, -0.20, 0.93} // on the floor line
	past := Vec{-0.30, -0.12, 0.95}  // 2 mm beyond it
	side := above(1).cross(annulus.Centre).unit()
	across := []Vec{above(2.8).plus(side.times(0.3)).unit(), above(2.8), above(2.8).plus(side.times(-0.2)).unit()} // its longer end is left open
	for _, c := range []struct {
		name     string
		drawn    [][]Vec
		circuits int // in the left atrium besides the coronary sinus loop: 1 while the mitral annulus stands alone
		widths   []float64
	}{
		{"no line", nil, 1, nil},
		{"as far as the annulus", [][]Vec{{floor, wall, above(-1)}}, 0, nil},
		{"2.9 mm short of it is joined", [][]Vec{{floor, wall, above(2.9)}}, 0, nil},
		{"3.2 mm short of it is open", [][]Vec{{floor, wall, above(3.2)}}, 1, []float64{3.2}},
		{"crossing the floor line does not excuse the other end", [][]Vec{{past, wall, above(9)}}, 1, []float64{9}},
		{"joined to the annulus too where another line runs between", [][]Vec{{floor, wall, above(2)}, across}, 0, []float64{3.7}},
		{"a line that joins nothing is an obstacle more", [][]Vec{{wall, above(6)}}, 2, []float64{6, 7.3}},
	} {
		set := setOf("", closedBox...)
		for _, path := range c.drawn {
			set.Lesions = append(set.Lesions, Lesion{Chamber: LeftAtrium, Path: path})
		}
		r, err := Default().Conduct(set)
		if err != nil {
			t.Fatal(err)
		}
		if got := r.LeftAtrium.IndependentCircuits - 1; got != c.circuits {
			t.Errorf("%s: %d circuits, want %d", c.name, got, c.circuits)
		}
		gaps := r.LeftAtrium.Gaps
		if len(gaps) != len(c.widths) {
			t.Errorf("%s: gaps %v, want widths %v", c.name, gaps, c.widths)
			continue
		}
		for _, width := range c.widths {
			found := false
			for _, gap := range gaps {
				found = found || math.Abs(gap.WidthMM-width) < 0.8
			}
			if !found {
				t.Errorf("%s: gaps %v, want one of %.1f mm", c.name, gaps, width)
			}
		}
	}
}

// TestGapNamesTheNearest: a gap says what is nearest.
func TestGapNamesTheNearest(t *testing.T) {
	annulus := Openings(LeftAtrium, 0)[0]
	tip := towards(annulus.Centre, Vec{-0.30, -0.60, 0.60}.unit(), annulus.reach()+5.0/normalLeftRadiusMM)
	set := setOf("", closedBox...)
	set.Lesions = append(set.Lesions, Lesion{Chamber: LeftAtrium, Path: []Vec{{-0.30, -0.20, 0.93}, tip}})
	r, err := Default().Conduct(set)
	if err != nil {
		t.Fatal(err)
	}
	if len(r.LeftAtrium.Gaps) != 1 || r.LeftAtrium.Gaps[0].Nearest != "mitral annulus" || r.LeftAtrium.Gaps[0].Lesion != 4 || math.Abs(r.LeftAtrium.Gaps[0].WidthMM-5) > 0.05 {
		t.Errorf("gaps %+v, want one of lesion 4, 5.0 mm from the mitral annulus", r.LeftAtrium.Gaps)
	}
	free, err := Default().Conduct(setOf("", FreeWallLine))
	if err != nil {
		t.Fatal(err)
	}
	if gaps := free.RightAtrium.Gaps; len(gaps) != 1 || strings.Contains(gaps[0].Nearest, "tricuspid") {
		t.Errorf("a free wall line without the line between the cavae has gaps %+v, want one at its upper end", gaps)
	}
}

// TestStub: a line that runs on past what it joins, or through an opening, has no gap there.
func TestStub(t *testing.T) {
	vein := Openings(LeftAtrium, 0)[4] // right inferior
	for name, path := range map[string][]Vec{
		"past the other line": {{-0.30, 0.05, 0.95}, {-0.30, -0.60, 0.60}, {-0.30, -0.85, 0.20}, {-0.32, -0.90, -0.20}},
		"through a vein":      {towards(vein.Centre, Vec{0.6, -0.6, 0.5}.unit(), -vein.reach()-0.25), vein.Centre, {0.6, -0.6, 0.5}, {0.2, -0.9, 0.1}, {-0.1, -0.95, -0.3}},
	} {
		set := LesionSet{Lesions: []Lesion{{Name: FloorLine}, {Chamber: LeftAtrium, Path: path}}}
		r, err := Default().Conduct(set)
		if err != nil {
			t.Fatal(err)
		}
		if len(r.LeftAtrium.Gaps) > 0 {
			t.Errorf("%s: gaps %v, want none", name, r.LeftAtrium.Gaps)
		}
	}
}

// TestNearestOnArc: plane geometry on the equator.
func TestNearestOnArc(t *testing.T) {
	a, b := Vec{1, 0, 0}, Vec{0, 1, 0}
	for _, c := range []struct{ p, want Vec }{
		{Vec{1, 1, 1}, Vec{1, 1, 0}}, {Vec{1, -1, 0.2}, a}, {Vec{-1, 1, 0.2}, b}, {Vec{0, 0, 1}, a},
	} {
		if got := nearestOnArc(c.p.unit(), a, b); got.angle(c.want.unit()) > 1e-9 {
			t.Errorf("nearestOnArc(%v) = %v, want %v", c.p, got, c.want.unit())
		}
	}
}
