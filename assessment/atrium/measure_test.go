package atrium

import (
	"math"
	"testing"
)

// TestEconomy: two openings are joined by the shortest line between their rims; a line drawn on that way is as long as the network.
func TestEconomy(t *testing.T) {
	form := newShape(RightAtrium, 0)
	upper, lower := form.find(SuperiorVenaCava), form.find(InferiorVenaCava)
	apart := upper.Centre.angle(lower.Centre) - upper.reach() - lower.reach()
	r, err := Default().Conduct(LesionSet{Lesions: []Lesion{{Chamber: RightAtrium, Path: []Vec{upper.Centre, lower.Centre}}}})
	if err != nil {
		t.Fatal(err)
	}
	if want := apart * 26; math.Abs(r.Economy.ShortestMM-want) > 0.1 || math.Abs(r.Economy.TotalMM-want) > 1 || math.Abs(*r.Economy.Ratio-1) > 0.03 {
		t.Errorf("economy %+v, want %.1f mm for both", r.Economy, want)
	}
	if r, _ := Default().Conduct(LesionSet{}); r.Economy.TotalMM != 0 || r.Economy.ShortestMM != 0 || r.Economy.Ratio != nil {
		t.Errorf("economy without lesions: %+v", r.Economy)
	}
	last := 0.0
	for i, row := range table[1:] {
		r, _ := Default().Conduct(row.set)
		t.Logf("%s: %.1f mm, shortest %.1f, ratio %v; substrate %+v", row.name, r.Economy.TotalMM, r.Economy.ShortestMM, *r.Economy.Ratio, r.SubstrateLeft)
		if i != 5 && r.Economy.ShortestMM < last-1e-9 { // the stump, once joined, lies on a shorter way to the annulus
			t.Errorf("%s fuses more than the row before, but its network is shorter: %.1f after %.1f mm", row.name, r.Economy.ShortestMM, last)
		}
		last = r.Economy.ShortestMM
	}
}

// TestTriggerCover: veins alone about 60 %, a closed box about 80 % (common practice, no source).
func TestTriggerCover(t *testing.T) {
	for i, want := range []float64{0, 60, 80, 80} {
		if r, _ := Default().Conduct(table[i].set); r.TriggerCoverPercent != want {
			t.Errorf("%s: trigger cover %v %%, want %v", table[i].name, r.TriggerCoverPercent, want)
		}
	}
	r, _ := Default().Conduct(setOf("", LeftPulmonaryVeinIsolation))
	if want := math.Round(60. * 42 / 65); r.TriggerCoverPercent != want {
		t.Errorf("left veins alone: %v %%, want %v", r.TriggerCoverPercent, want)
	}
}

// TestSubstrate: on a bare sphere the widest corridor is a disc with a rim, so without rims everything is wide; lesions never widen a
// corridor; a longer wave finds less room.
func TestSubstrate(t *testing.T) {
	short := 60.0
	last := Substrate{LeftPercent: 100, RightPercent: 100}
	for _, row := range table {
		set := row.set
		set.ConductionVelocityMPerS, set.RefractoryPeriodMS = 0.5, short/0.5
		r, err := Default().Conduct(set)
		if err != nil {
			t.Fatal(err)
		}
		s := r.SubstrateLeft
		t.Logf("%s: %+v", row.name, s)
		if s.LeftPercent > s.LeftBeforePercent || s.RightPercent > s.RightBeforePercent {
			t.Errorf("%s: more substrate after than before: %+v", row.name, s)
		}
		if row.name != table[5].name && (s.LeftPercent > last.LeftPercent || s.RightPercent > last.RightPercent) {
			t.Errorf("%s: more substrate than with fewer lesions: %+v after %+v", row.name, s, last)
		}
		last = s
		set.RefractoryPeriodMS = 400
		if long, _ := Default().Conduct(set); long.SubstrateLeft.LeftPercent > s.LeftPercent {
			t.Errorf("%s: a longer wave has more room: %+v", row.name, long.SubstrateLeft)
		}
	}
	n := bare(11)
	whole, shell := make([]bool, n.size()), make([]bool, n.edges)
	for i := range whole {
		whole[i] = true
	}
	w := &work{}
	n.march(0, shell, w)
	for _, m := range []*mesh{n.left, n.right} {
		if share := n.wide(m, whole, shell, 10, w); share != 100 {
			t.Errorf("on a sphere without rims all is wide, not %v %%", share)
		}
	}
}
