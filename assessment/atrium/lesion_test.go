package atrium

import (
	"encoding/json"
	"math"
	"slices"
	"sync"
	"testing"

	"pgregory.net/rapid"
)

// TestSingleLesions: what each lesion of the catalogue, and a few sets, leave of the 5 and 3 independent circuits of intact atria. The
// counts follow by hand: a line that joins two obstacles takes one circuit away, one that joins an obstacle to nothing takes none.
func TestSingleLesions(t *testing.T) {
	for _, c := range []struct {
		name        string
		set         LesionSet
		left, right int
		gaps        int
		unwanted    int // islands nobody wants
	}{
		{"left veins", setOf("", LeftPulmonaryVeinIsolation), 4, 3, 0, 0},
		{"right veins", setOf("", RightPulmonaryVeinIsolation), 4, 3, 0, 0},
		{"roof line joins two veins", setOf("", RoofLine), 4, 3, 0, 0},
		{"floor line joins two veins", setOf("", FloorLine), 4, 3, 0, 0},
		{"roof and floor line without the rings isolate nothing", setOf("", RoofLine, FloorLine), 3, 3, 0, 0},
		{"mitral line joins a vein and the annulus, the coronary sinus bridges it", setOf("", MitralIsthmusLine), 4, 3, 0, 0},
		{"coronary sinus lesion takes the strip's circuit", setOf("", CoronarySinusLesion), 4, 3, 0, 0},
		{"appendage line to an appendage that is kept ends in tissue", setOf("", LeftAppendageLine), 5, 3, 1, 0},
		{"appendage line to a stump joins it to a vein", setOf(AppendageExcluded, LeftAppendageLine), 5, 3, 0, 0},
		{"a stump alone is one obstacle more", setOf(AppendageExcised), 6, 3, 0, 0},
		{"line between the cavae", setOf("", IntercavalLine), 5, 2, 0, 0},
		{"free wall line alone has an open end", setOf("", FreeWallLine), 5, 3, 1, 0},
		{"right appendage line joins only the annulus", setOf("", RightAppendageLine), 5, 3, 0, 0},
		{"cavotricuspid line", setOf("", CavotricuspidIsthmusLine), 5, 2, 0, 0},
		{"cavae and free wall line, or cavae and cavotricuspid line, leave the coronary sinus ostium: the first", setOf("", IntercavalLine, FreeWallLine), 5, 1, 0, 0},
		{"and the second", setOf("", IntercavalLine, CavotricuspidIsthmusLine), 5, 1, 0, 0},
		{"both together cut the lower free wall off", setOf("", IntercavalLine, FreeWallLine, CavotricuspidIsthmusLine), 5, 1, 0, 1},
	} {
		r, err := Default().Conduct(c.set)
		if err != nil {
			t.Fatal(err)
		}
		if l, r := r.LeftAtrium.IndependentCircuits, r.RightAtrium.IndependentCircuits; l != c.left || r != c.right {
			t.Errorf("%s: %d and %d independent circuits, want %d and %d", c.name, l, r, c.left, c.right)
		}
		if gaps := append(r.LeftAtrium.Gaps, r.RightAtrium.Gaps...); len(gaps) != c.gaps {
			t.Errorf("%s: gaps %+v, want %d", c.name, gaps, c.gaps)
		}
		unwanted := 0
		for _, island := range append(r.LeftAtrium.Islands, r.RightAtrium.Islands...) {
			if !island.Wanted {
				unwanted++
			}
		}
		if unwanted != c.unwanted || !r.SinusToAVNode {
			t.Errorf("%s: %d unwanted islands, AV node reached %v; want %d, true", c.name, unwanted, r.SinusToAVNode, c.unwanted)
		}
	}
}

// TestScopeAtEverySize: the scope of a standard set does not depend on how large the atria are.
func TestScopeAtEverySize(t *testing.T) {
	for _, diameter := range []float64{30, 46, 60, 80} {
		for _, row := range table[1:] {
			set := row.set
			set.LeftAtriumDiameterMM, set.RightAtriumDiameterMM = diameter, diameter
			r, err := Default().Conduct(set)
			if err != nil {
				t.Fatal(err)
			}
			if r.Scope != row.scope {
				t.Errorf("%s at %v mm: scope %s, want %s", row.name, diameter, r.Scope, row.scope)
			}
		}
	}
}

// TestHull: the ring round two veins keeps its margin to both at every point, arcs included, and holds both inside.
func TestHull(t *testing.T) {
	const margin = marginDeg * math.Pi / 180
	rapid.Check(t, func(t *rapid.T) {
		form := newShape(LeftAtrium, rapid.Float64Range(40, 90).Draw(t, "diameter"))
		pair := rapid.SampledFrom([][2]Obstacle{{LeftSuperiorVein, LeftInferiorVein}, {RightSuperiorVein, RightInferiorVein}}).Draw(t, "veins")
		a, b := form.find(pair[0]), form.find(pair[1])
		ring := cut{path: hull(a, b, margin), closed: true}
		ring.arcs(func(p, q Vec) {
			for _, hole := range []Opening{a, b} {
				near := nearestOnArc(hole.Centre, p, q).angle(hole.Centre)
				if near < hole.reach()+0.97*margin { // between its points the polyline comes a little nearer
					t.Fatalf("the ring comes within %.2f degrees of the %s, want %d", (near-hole.reach())*180/math.Pi, hole.Name, marginDeg)
				}
			}
		})
		middle := a.Centre.plus(b.Centre).unit()
		longest := 0.0
		for _, p := range ring.path {
			longest = math.Max(longest, p.angle(middle))
		}
		if most := a.Centre.angle(b.Centre)/2 + math.Max(a.reach(), b.reach()) + margin + 1e-9; longest > most {
			t.Fatalf("the ring runs %.3f from the middle of the veins, want at most %.3f", longest, most)
		}
	})
}

// TestConcurrent: one model serves many at once, at sizes that fill its cache over, and each gets the bytes it would get alone.
func TestConcurrent(t *testing.T) {
	m := New(6)
	sets := make([]LesionSet, 2*cachedSizes)
	want := make([]string, len(sets))
	for i := range sets {
		sets[i] = table[i%len(table)].set
		sets[i].LeftAtriumDiameterMM = 41 + float64(i)/2
		want[i] = bytesOf(t, New(6), sets[i])
	}
	var wait sync.WaitGroup
	for worker := range 4 {
		wait.Go(func() {
			for k := range sets {
				i := (k*7 + worker*13) % len(sets)
				if got := bytesOf(t, m, sets[i]); got != want[i] {
					t.Errorf("set %d computed beside others differs", i)
				}
			}
		})
	}
	wait.Wait()
	if len(m.networks) > cachedSizes {
		t.Errorf("%d sizes are kept, the most is %d", len(m.networks), cachedSizes)
	}
}

func bytesOf(t *testing.T, m *Model, set LesionSet) string {
	r, err := m.Conduct(set)
	if err != nil {
		t.Error(err)
	}
	data, err := json.Marshal(r)
	if err != nil {
		t.Error(err)
	}
	return string(data)
}

// TestDrawnAsNamed: a lesion drawn along a standard path does what the named one does: a lesion is geometry, whatever its origin.
func TestDrawnAsNamed(t *testing.T) {
	for _, row := range table[1:] {
		drawn := row.set
		drawn.Lesions = nil
		named, err := Default().Conduct(row.set)
		if err != nil {
			t.Fatal(err)
		}
		for _, l := range row.set.Lesions {
			i := slices.IndexFunc(Catalogue(), func(c CatalogueLesion) bool { return c.ID == l.Name })
			if c := Catalogue()[i]; c.ID != CoronarySinusLesion { // it lies outside the shell, where nothing can be drawn
				l = Lesion{Chamber: c.Chamber, Path: c.Path, Closed: c.Closed}
			}
			drawn.Lesions = append(drawn.Lesions, l)
		}
		r, err := Default().Conduct(drawn)
		if err != nil {
			t.Fatal(err)
		}
		if r.Scope != named.Scope || r.LeftAtrium.IndependentCircuits != row.left || r.RightAtrium.IndependentCircuits != row.right {
			t.Errorf("%s drawn: scope %s, %d and %d circuits; want %s, %d and %d", row.name, r.Scope, r.LeftAtrium.IndependentCircuits, r.RightAtrium.IndependentCircuits, named.Scope, row.left, row.right)
		}
	}
}

// TestAreas: the tissue of each chamber is the sphere's area, 4 pi r^2, less that of its openings, 2 pi r^2 (1 - cos a) each.
func TestAreas(t *testing.T) {
	for _, diameter := range []float64{0, 60} {
		n := Default().network(LesionSet{LeftAtriumDiameterMM: diameter, RightAtriumDiameterMM: diameter})
		for _, m := range []*mesh{n.left, n.right} {
			want := 4 * math.Pi * m.radius * m.radius
			for _, o := range m.openings {
				want -= 2 * math.Pi * m.radius * m.radius * (1 - math.Cos(o.reach()))
			}
			if math.Abs(m.areaMM2-want) > 0.01*want {
				t.Errorf("%s at %v mm: %.0f mm² of tissue, want %.0f", m.chamber, diameter, m.areaMM2, want)
			}
		}
	}
}

// TestAlwaysTold: the circuits that the lines turn on are reported on atria of every size and beside stray lines, though the annulus
// grows with the chamber and the veins and cavae, whose circuits joined are shorter in the end, do not.
func TestAlwaysTold(t *testing.T) {
	stray := LesionSet{}
	for _, at := range []Vec{{0.05, 0.2, 0.95}, {0.3, 0.8, 0.2}, {0.9, 0.1, -0.2}, {0, 0.9, -0.2}} {
		for _, chamber := range []Chamber{LeftAtrium, RightAtrium} {
			stray.Lesions = append(stray.Lesions, Lesion{Chamber: chamber, Path: []Vec{at, at.plus(Vec{0.03, 0.06, 0.05})}})
		}
	}
	for _, diameter := range []float64{0, 58, 90} {
		for _, set := range []LesionSet{{}, setOf("", bothVeinPairs...), stray} {
			if diameter == 90 && len(set.Lesions) == len(stray.Lesions) {
				continue // one large size with stray lines is enough: they make the search slow
			}
			set.LeftAtriumDiameterMM, set.RightAtriumDiameterMM = diameter, diameter
			r, err := Default().Conduct(set)
			if err != nil {
				t.Fatal(err)
			}
			for _, want := range []struct {
				in    ChamberResult
				round []Obstacle
			}{
				{r.LeftAtrium, []Obstacle{MitralAnnulus}}, {r.RightAtrium, []Obstacle{TricuspidAnnulus}},
				{r.RightAtrium, []Obstacle{SuperiorVenaCava, InferiorVenaCava}},
			} {
				if !slices.ContainsFunc(want.in.Circuits, func(c Circuit) bool { return slices.Equal(c.Round, want.round) && !c.ThroughCoronarySinus }) {
					t.Errorf("%d lesions at %v mm: no circuit round %v", len(set.Lesions), diameter, want.round)
				}
			}
		}
	}
}
