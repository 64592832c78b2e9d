package atrium

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// hazard is how near the only lesion of a set comes to a structure.
func hazard(t *testing.T, set LesionSet, structure string) Hazard {
	t.Helper()
	r, err := Default().Conduct(set)
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(r.Hazards, func(h Hazard) bool { return h.Structure == structure })
	if i < 0 {
		t.Fatalf("no distance to the %s among %+v", structure, r.Hazards)
	}
	return r.Hazards[i]
}

// TestHazards: distances worked out by hand on the sphere. A line through the sinus node is 0 mm from it; one a tenth of a radian away along
// a great circle that misses the AV node is 2.6 mm from it on a right atrium of 26 mm radius. A line across a course is 0 mm from it.
func TestHazards(t *testing.T) {
	away := towards(SinusNode, Vec{1, 0, 0}, 0.1)
	drawn := func(chamber Chamber, path ...Vec) LesionSet {
		return LesionSet{Lesions: []Lesion{{Chamber: chamber, Path: path}}}
	}
	for _, c := range []struct {
		name      string
		set       LesionSet
		structure string
		mm        float64
		at        Vec
	}{
		{"through the sinus node", drawn(RightAtrium, SinusNode, towards(SinusNode, Vec{0, 0, -1}, 0.3)), "sinus-node", 0, SinusNode},
		{"a tenth of a radian from it", drawn(RightAtrium, away, towards(away, Vec{1, 0, 0}, 0.3)), "sinus-node", 2.6, away},
		{"the mitral line crosses what lies between sinus and annulus", setOf("", MitralIsthmusLine), "circumflex-artery", 0, Vec{-0.31, -0.92, 0.16}},
		{"the floor line crosses in front of the oesophagus", setOf("", FloorLine), "oesophagus", 0, Vec{-0.1, -0.21, 0.97}},
		{"the line to the tricuspid annulus crosses the groove", setOf("", FreeWallLine), "right-coronary-artery", 0, Vec{0.5, -0.18, -0.84}},
	} {
		got := hazard(t, c.set, c.structure)
		if got.Lesion != 0 || math.Abs(got.DistanceMM-c.mm) > 0.11 || got.At.angle(c.at.unit()) > 0.05 {
			t.Errorf("%s: %+v, want %v mm at %v", c.name, got, c.mm, c.at)
		}
	}
	if far := hazard(t, drawn(RightAtrium, away, towards(away, Vec{1, 0, 0}, 0.3)), "av-node"); far.DistanceMM < 20 {
		t.Errorf("%+v, want the AV node far away", far)
	}
	r, _ := Default().Conduct(setOf("", RoofLine, IntercavalLine))
	var order []string
	for _, h := range r.Hazards {
		order = append(order, h.Structure)
	}
	want := []string{"oesophagus", "circumflex-artery", "left-phrenic-nerve", "sinus-node", "av-node", "sinus-node-artery", "right-coronary-artery", "right-phrenic-nerve"}
	if !slices.Equal(order, want) {
		t.Errorf("structures %v, want %v", order, want)
	}
}

// TestCourses: at every size the circumflex artery runs outside the mitral annulus and inside the coronary sinus (Choure 2006, PMID
// 17112981: so in 80 %), the right coronary artery in the groove at the tricuspid annulus, the oesophagus between the left and the right
// veins, the artery of the sinus node to the node; and no course leads through a vein or a cava.
func TestCourses(t *testing.T) {
	for _, diameter := range []float64{0, 52, 70, 90} {
		for _, chamber := range []Chamber{LeftAtrium, RightAtrium} {
			form := newShape(chamber, diameter)
			for _, neighbour := range Neighbours(chamber, diameter) {
				line := cut{path: neighbour.Path}
				for _, hole := range form.openings {
					nearest := line.nearestTo(cut{path: []Vec{hole.Centre, towards(hole.Centre, Vec{0.3, 0.5, 0.8}, 1e-6)}})
					if mm := (nearest.angle - hole.reach()) * form.radius; mm < 0.9 {
						t.Errorf("%s at %v mm: %.1f mm from the rim of the %s", neighbour.ID, diameter, mm, hole.Name)
					}
				}
				if neighbour.Name == "" || neighbour.Source == "" || len(neighbour.Path) < 3 {
					t.Errorf("%s: %+v", neighbour.ID, neighbour)
				}
			}
		}
		left, right := newShape(LeftAtrium, diameter), newShape(RightAtrium, diameter)
		annulus, sinus := left.find(MitralAnnulus), cut{path: []Vec{strips[3].from.At.unit(), strips[3].to.At.unit()}}
		for _, p := range course(t, LeftAtrium, diameter, "circumflex-artery") {
			rim, outer := (p.angle(annulus.Centre)-annulus.reach())*left.radius, nearestLesion(p, []cut{sinus})
			if beyond := annulus.Centre.angle(outer.at) - annulus.Centre.angle(p); rim < 2 || rim > 8 || beyond <= 0 {
				t.Errorf("circumflex artery at %v mm: %.1f mm outside the annulus, %.2f radians inside the coronary sinus", diameter, rim, beyond)
			}
		}
		annulus = right.find(TricuspidAnnulus)
		for _, p := range course(t, RightAtrium, diameter, "right-coronary-artery") {
			if rim := (p.angle(annulus.Centre) - annulus.reach()) * right.radius; rim < 2 || rim > 5 {
				t.Errorf("right coronary artery at %v mm: %.1f mm outside the annulus", diameter, rim)
			}
		}
		for _, p := range course(t, LeftAtrium, diameter, "oesophagus") {
			if p[0] < left.find(LeftInferiorVein).Centre[0] || p[0] > left.find(RightInferiorVein).Centre[0] || p[2] < 0.5 {
				t.Errorf("oesophagus passes %v, want it behind the wall between the veins", p)
			}
		}
		if artery := course(t, RightAtrium, diameter, "sinus-node-artery"); artery[len(artery)-1].angle(SinusNode) > 1e-3 {
			t.Errorf("the artery of the sinus node ends at %v", artery[len(artery)-1])
		}
	}
}

func course(t *testing.T, chamber Chamber, diameter float64, id string) []Vec {
	t.Helper()
	list := Neighbours(chamber, diameter)
	i := slices.IndexFunc(list, func(n Neighbour) bool { return n.ID == id })
	if i < 0 {
		t.Fatalf("no %s", id)
	}
	return list[i].Path
}

// TestNearestTo: the distance between two lines is that of the nearest pair of points on them, found here by walking along both in
// small steps, whichever of the two asks.
func TestNearestTo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		line := func(label string) cut {
			a := anyVec(t, label)
			return cut{path: []Vec{a, towards(a, anyVec(t, label+" to").plus(Vec{0.011, 0.013, 0.017}).unit(), rapid.Float64Range(0.05, 1.5).Draw(t, label+" length"))}}
		}
		one, other := line("one"), line("other")
		got, back := one.nearestTo(other).angle, other.nearestTo(one).angle
		stepped := infinite
		for i := range 101 {
			p := towards(one.path[0], one.path[1], one.span()*float64(i)/100)
			stepped = min(stepped, nearestOnArc(p, other.path[0], other.path[1]).angle(p))
		}
		if math.Abs(got-back) > 1e-9 || got > stepped+1e-9 || got < stepped-0.01 {
			t.Fatalf("%.4f and %.4f radians apart, in steps %.4f", got, back, stepped)
		}
	})
}
