package atrium

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// drawable is every lesion of the catalogue that can be drawn: not that on the coronary sinus, outside the wall.
func drawable() []named {
	return slices.DeleteFunc(slices.Clone(catalogue), func(l named) bool { return l.outside })
}

// freehand is a named lesion drawn along its standard path on a chamber of that diameter.
func freehand(l named, diameter float64) Lesion {
	path, closed := l.path(newShape(l.chamber, diameter))
	return Lesion{Chamber: l.chamber, Path: path, Closed: closed}
}

// recognised is what the last lesion of a set is taken for.
func recognised(m *Model, set LesionSet) LesionID {
	n := m.network(set)
	l := n.layAll(set, set.closesAppendage())
	n.recognise(&l, set.closesAppendage())
	return l.drawn[len(l.drawn)-1].Recognised
}

// TestRecognisesItself: each standard path drawn freely is the lesion itself, alone and after all the others, at every size, with the
// appendage kept and excised, whichever end comes first.
func TestRecognisesItself(t *testing.T) {
	for _, diameter := range []float64{0, 52, 70, 90} {
		for _, l := range drawable() {
			for _, appendage := range []AppendageState{AppendageKept, AppendageExcised} {
				alone := LesionSet{LeftAppendage: appendage, LeftAtriumDiameterMM: diameter, RightAtriumDiameterMM: diameter}
				after := alone
				for _, other := range drawable() {
					if other.id != l.id {
						after.Lesions = append(after.Lesions, Lesion{Name: other.id})
					}
				}
				for _, set := range []LesionSet{alone, after} {
					drawn := freehand(l, diameter)
					for range 2 {
						full := set
						full.Lesions = append(slices.Clone(set.Lesions), drawn)
						if got := recognised(coarse, full); got != l.id {
							t.Errorf("%s at %v mm, appendage %s, after %d others: recognised as %q", l.id, diameter, appendage, len(set.Lesions), got)
						}
						slices.Reverse(drawn.Path)
					}
				}
			}
		}
	}
}

// TestRecognisesJittered: a hand that is off by a few millimetres draws the same lesion, as long as its ends reach what they should.
func TestRecognisesJittered(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := rapid.SampledFrom(drawable()).Draw(t, "lesion")
		diameter := rapid.SampledFrom([]float64{0, 55, 75}).Draw(t, "diameter")
		form := newShape(l.chamber, diameter)
		drawn := freehand(l, diameter)
		for i, p := range drawn.Path {
			aside := anyVec(t, "aside").plus(Vec{0.011, 0.013, 0.017})
			drawn.Path[i] = towards(p, aside.unit(), rapid.Float64Range(0, 3).Draw(t, "mm")/form.radius)
		}
		set := LesionSet{LeftAppendage: AppendageExcised, LeftAtriumDiameterMM: diameter, RightAtriumDiameterMM: diameter, Lesions: []Lesion{drawn}}
		if got := recognised(coarse, set); got != l.id {
			t.Fatalf("%s, jittered, recognised as %q", l.id, got)
		}
	})
}

// TestRecognisedByEffect: what a drawn line joins, and where, decides; not what it looks like.
func TestRecognisedByEffect(t *testing.T) {
	veins := Openings(LeftAtrium, 0)
	around := func(centre Vec, degrees float64) Lesion { return ringAt(LeftAtrium, centre, degrees*0.0174533) }
	line := func(chamber Chamber, path ...Vec) Lesion { return Lesion{Chamber: chamber, Path: path} }
	withRings := func(l Lesion, more ...LesionID) LesionSet {
		set := setOf("", append(slices.Clone(bothVeinPairs), more...)...)
		set.Lesions = append(set.Lesions, l)
		return set
	}
	alone := func(l Lesion) LesionSet { return LesionSet{Lesions: []Lesion{l}} }
	roof := line(LeftAtrium, Vec{-0.36, 0.62, 0.70}, Vec{0, 0.66, 0.75}, Vec{0.42, 0.62, 0.66})
	for _, c := range []struct {
		name string
		set  LesionSet
		want LesionID
	}{
		{"a roof line from ring to ring", withRings(roof), RoofLine},
		{"the same after a floor line", withRings(roof, FloorLine), RoofLine},
		{"a roof line drawn low is no floor line", withRings(line(LeftAtrium, Vec{-0.36, 0.40, 0.84}, Vec{0, 0.42, 0.9}, Vec{0.42, 0.40, 0.81})), RoofLine},
		{"a floor line from ring to ring", withRings(line(LeftAtrium, Vec{-0.36, -0.2, 0.91}, Vec{0, -0.25, 0.97}, Vec{0.42, -0.2, 0.88}), RoofLine), FloorLine},
		{"a line over the front of the left atrium is none", withRings(line(LeftAtrium, Vec{-0.55, 0.80, 0.2}, Vec{0, 0.95, -0.3}, Vec{0.75, 0.65, 0.1}), RoofLine), ""},
		{"a mitral line from the floor line to the annulus", withRings(line(LeftAtrium, Vec{-0.2, -0.22, 0.95}, Vec{-0.30, -0.60, 0.60}, Vec{-0.32, -0.90, -0.2}), RoofLine, FloorLine), MitralIsthmusLine},
		{"one short of the annulus", withRings(line(LeftAtrium, Vec{-0.30, -0.15, 0.95}, Vec{-0.30, -0.60, 0.60}, Vec{-0.30, -0.85, 0.35}), FloorLine), ""},
		{"one short of it beside a good one", withRings(line(LeftAtrium, Vec{-0.30, -0.15, 0.95}, Vec{-0.30, -0.60, 0.60}, Vec{-0.10, -0.85, 0.45}), FloorLine, MitralIsthmusLine), ""},
		{"one to the annulus that starts in tissue", alone(line(LeftAtrium, Vec{-0.30, -0.50, 0.70}, Vec{-0.30, -0.85, 0.20}, Vec{-0.32, -0.90, -0.2})), ""},
		{"a line from the right veins to the annulus", withRings(line(LeftAtrium, Vec{0.66, -0.12, 0.74}, Vec{0.3, -0.8, 0.3}, Vec{-0.2, -0.95, -0.3})), ""},
		{"a wider ring round the left veins", alone(around(veins[1].Centre.plus(veins[2].Centre), 42)), LeftPulmonaryVeinIsolation},
		{"a ring round one left vein", alone(around(veins[1].Centre, 19)), ""},
		{"a ring round both superior veins", alone(around(veins[1].Centre.plus(veins[3].Centre), 63)), ""},
		{"a ring round no vein beside the left veins", alone(around(Vec{-0.1, 0.2, 1}, 12)), ""},
		{"a ring round all four veins", alone(around(Vec{0, 0.17, 0.98}, 68)), ""},
		{"a line between the cavae along the septum", alone(line(RightAtrium, Vec{-0.05, 0.90, 0.42}, Vec{-0.6, 0.3, 0.75}, Vec{-0.5, -0.4, 0.75}, Vec{0, -0.86, 0.5})), ""},
		{"a line between the cavae a little to the side", alone(line(RightAtrium, Vec{0.05, 0.92, 0.38}, Vec{0.70, 0.30, 0.6}, Vec{0.62, -0.40, 0.6}, Vec{0.05, -0.86, 0.45})), IntercavalLine},
		{"a free wall line joined to the line between the cavae", LesionSet{Lesions: append(setOf("", IntercavalLine).Lesions, freehand(catalogue[8], 0))}, FreeWallLine},
		{"a loose line", alone(line(RightAtrium, Vec{0.5, 0.2, 0.7}, Vec{0.7, 0.2, 0.5})), ""},
		{"a drawn coronary sinus lesion lies on the wall and cuts nothing outside it", alone(freehand(catalogue[5], 0)), ""},
	} {
		if got := recognised(coarse, c.set); got != c.want {
			t.Errorf("%s: recognised as %q, want %q", c.name, got, c.want)
		}
	}
	if r, err := coarse.Conduct(withRings(roof)); err != nil || r.Lesions[2].Recognised != RoofLine || r.Lesions[0].Recognised != "" {
		t.Errorf("only what is drawn is recognised: %+v (%v)", r.Lesions, err)
	}
}
