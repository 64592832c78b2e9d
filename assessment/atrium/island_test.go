package atrium

import (
	"math"
	"testing"
)

// ringAt is a closed ring of an angular radius (radians) round a direction.
func ringAt(chamber Chamber, centre Vec, radius float64) Lesion {
	l := Lesion{Chamber: chamber, Closed: true}
	centre = centre.unit()
	side := centre.cross(Vec{0.3, 0.7, 0.1}).unit()
	for k := range 36 {
		phi := 2 * math.Pi * float64(k) / 36
		l.Path = append(l.Path, towards(centre, side.times(math.Cos(phi)).plus(centre.cross(side).times(math.Sin(phi))), radius))
	}
	return l
}

// TestIslands: what a ring cuts off, its name, and its area against that of a cap, 2 pi r^2 (1 - cos a), less the opening in it.
func TestIslands(t *testing.T) {
	capCM2 := func(radiusMM, angle float64) float64 {
		return 2 * math.Pi * radiusMM * radiusMM * (1 - math.Cos(angle)) / 100
	}
	cava, appendage := Openings(RightAtrium, 0)[1], Openings(LeftAtrium, 0)[5]
	for _, c := range []struct {
		name   string
		set    LesionSet
		island string
		wanted bool
		cm2    float64
	}{
		{"a ring on the anterior wall", LesionSet{Lesions: []Lesion{ringAt(LeftAtrium, Vec{0.1, 0.6, -0.75}, 0.3)}}, "free-wall", false, capCM2(25, 0.3)},
		{"a ring round the kept appendage", LesionSet{Lesions: []Lesion{ringAt(LeftAtrium, appendage.Centre, appendage.reach()+0.05)}}, "left-appendage", false, capCM2(25, appendage.reach()+0.05)},
		{"an excised appendage", LesionSet{LeftAppendage: AppendageExcised}, "left-appendage", true, capCM2(25, appendage.reach())},
		{"a ring round the superior cava", LesionSet{Lesions: []Lesion{ringAt(RightAtrium, cava.Centre, cava.reach()+0.15)}}, "wall-at-superior-vena-cava", false,
			capCM2(26, cava.reach()+0.15) - capCM2(26, cava.reach())},
	} {
		r, err := Default().Conduct(c.set)
		if err != nil {
			t.Fatal(err)
		}
		islands := append(r.LeftAtrium.Islands, r.RightAtrium.Islands...)
		if len(islands) != 1 {
			t.Errorf("%s: islands %+v, want one", c.name, islands)
			continue
		}
		got := islands[0]
		if got.Name != c.island || got.Wanted != c.wanted || math.Abs(got.AreaCM2-c.cm2) > 0.1*c.cm2+0.05 || len(got.Outline) == 0 {
			t.Errorf("%s: %s, wanted %v, %.2f cm², %d rings; want %s, %v, %.2f cm²", c.name, got.Name, got.Wanted, got.AreaCM2, len(got.Outline), c.island, c.wanted, c.cm2)
		}
	}
}

// TestSinusNodeCutOff: a ring round the sinus node leaves both atria without conduction, and the result says so without a circuit.
func TestSinusNodeCutOff(t *testing.T) {
	r, err := Default().Conduct(LesionSet{Lesions: []Lesion{ringAt(RightAtrium, SinusNode, 0.15)}})
	if err != nil {
		t.Fatal(err)
	}
	if r.SinusToAVNode || r.LeftAtrium.IndependentCircuits != 0 || len(r.LeftAtrium.Circuits) != 0 || r.LeftAtrium.IsolatedPercent != 100 {
		t.Errorf("AV node reached %v, %d circuits in the left atrium, %.1f %% of it isolated; want false, 0, 100", r.SinusToAVNode, r.LeftAtrium.IndependentCircuits, r.LeftAtrium.IsolatedPercent)
	}
	if r.RightAtrium.IsolatedPercent < 90 {
		t.Errorf("%.1f %% of the right atrium isolated, want all but the patch round the node", r.RightAtrium.IsolatedPercent)
	}
}

// TestTightRings: a closed ring isolates its vein however near to the vein it runs, nearer than the mesh's own width included.
func TestTightRings(t *testing.T) {
	for _, mm := range []float64{0.2, 0.6, 1.2, 2, 4} {
		set := LesionSet{}
		for _, vein := range Openings(LeftAtrium, 0)[1:5] {
			set.Lesions = append(set.Lesions, ringAt(LeftAtrium, vein.Centre, vein.reach()+mm/normalLeftRadiusMM))
		}
		r, err := Default().Conduct(set)
		if err != nil {
			t.Fatal(err)
		}
		if len(r.VeinsIsolated) != 4 || r.Scope != ScopePulmonaryVeinIsolation {
			t.Errorf("rings %v mm outside the veins: isolated %v, scope %s; want all four, %s", mm, r.VeinsIsolated, r.Scope, ScopePulmonaryVeinIsolation)
		}
	}
}

// TestNoSlivers: the standard sets leave no unwanted island at any size, though their lines cross and enclose specks of the mesh.
func TestNoSlivers(t *testing.T) {
	every := LesionSet{LeftAppendage: AppendageExcised}
	for _, l := range catalogue {
		if l.id != CavotricuspidIsthmusLine { // with the free wall line it does cut a piece off
			every.Lesions = append(every.Lesions, Lesion{Name: l.id})
		}
	}
	for mm := 40.0; mm <= 90; mm += 3 {
		every.LeftAtriumDiameterMM, every.RightAtriumDiameterMM = mm, mm
		r, err := Default().Conduct(every)
		if err != nil {
			t.Fatal(err)
		}
		for _, island := range append(r.LeftAtrium.Islands, r.RightAtrium.Islands...) {
			if !island.Wanted {
				t.Errorf("at %v mm %.1f cm² of %s are cut off", mm, island.AreaCM2, island.Name)
			}
		}
	}
}
