package atrium

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// bare is a model sphere without openings, as a network of one chamber that conducts everywhere.
func bare(frequency int) *network {
	s := newSphere(frequency)
	left, right := newMesh(s, shape{chamber: LeftAtrium, radius: 25}), newMesh(s, shape{chamber: RightAtrium, radius: 26})
	return newNetwork(left, right)
}

// TestMarchOnSphere: on a sphere without openings the exact distance is the great circle's. Fast marching stays within 2 % of it from
// every start tried; edge paths would not.
func TestMarchOnSphere(t *testing.T) {
	n, w := bare(22), &work{}
	shut := make([]bool, n.edges)
	for e := len(n.left.edges) + len(n.right.edges); e < n.edges; e++ {
		shut[e] = true // no bridges
	}
	for _, start := range []int32{0, 17, 700, 1999, 4000} {
		n.march(start, shut, w)
		worst := 0.0
		for i, node := range n.left.nodes {
			if exact := 25 * node.angle(n.left.nodes[start]); exact > 0 {
				worst = max(worst, math.Abs(w.march.at[i].distance-exact)/exact)
			}
		}
		t.Logf("from node %d: worst error %.3f %%", start, 100*worst)
		if worst > 0.02 {
			t.Errorf("from node %d: off by %.2f %% of the great-circle distance, want at most 2", start, 100*worst)
		}
	}
}

// TestIntactActivation: total activation in sinus rhythm without atrial fibrillation took 114 +/- 17 ms, 74 to 156 (253 patients, Mouws 2018,
// JAHA, repub.eur.nl/105291). The AV node lies on the way, so it comes before the last site.
func TestIntactActivation(t *testing.T) {
	r, err := Default().Conduct(LesionSet{})
	if err != nil {
		t.Fatal(err)
	}
	a := r.Activation
	total := max(*a.LeftAtrium.LatestMS, *a.RightAtrium.LatestMS)
	t.Logf("left atrium %.1f ms at %v, right atrium %.1f ms at %v, AV node %.1f ms", *a.LeftAtrium.LatestMS, a.LeftAtrium.LatestAt.At, *a.RightAtrium.LatestMS, a.RightAtrium.LatestAt.At, *a.AVNodeMS)
	if total < 74 || total > 156 {
		t.Errorf("total activation %.1f ms, published 74 to 156", total)
	}
	if *a.AVNodeMS >= *a.RightAtrium.LatestMS || *a.DelayMS.LeftAtrium != 0 || *a.DelayMS.RightAtrium != 0 || a.LeftAtrium.AreaReachedPercent != 100 {
		t.Errorf("intact atria: %+v", a)
	}
	slow, _ := Default().Conduct(LesionSet{ConductionVelocityMPerS: 0.45})
	if math.Abs(*slow.Activation.LeftAtrium.LatestMS-2**a.LeftAtrium.LatestMS) > 0.2 {
		t.Errorf("at half the velocity the left atrium takes %.1f ms, want twice %.1f", *slow.Activation.LeftAtrium.LatestMS, *a.LeftAtrium.LatestMS)
	}
}

// TestActivationOfTable: standard sets delay, never hasten; what is isolated is not reached.
func TestActivationOfTable(t *testing.T) {
	for _, row := range table {
		r, err := Default().Conduct(row.set)
		if err != nil {
			t.Fatal(err)
		}
		a := r.Activation
		if math.Abs(a.LeftAtrium.AreaReachedPercent-(100-r.LeftAtrium.IsolatedPercent)) > 0.11 || a.AVNodeMS == nil {
			t.Errorf("%s: %v %% reached, %v %% isolated, AV node %v", row.name, a.LeftAtrium.AreaReachedPercent, r.LeftAtrium.IsolatedPercent, a.AVNodeMS)
		}
		if *a.DelayMS.LeftAtrium < 0 || *a.DelayMS.RightAtrium < 0 {
			t.Errorf("%s hastens activation: %+v", row.name, a.DelayMS)
		}
	}
}

// TestArrivalNeverCrossesACut: whatever the cuts, the beat arrives exactly at the nodes connected to the sinus node, never before it
// would in intact atria by more than rounding, and never before the straight way from there.
func TestArrivalNeverCrossesACut(t *testing.T) {
	w := &work{}
	rapid.Check(t, func(t *rapid.T) {
		set := anySet(t)
		n := coarse.network(set)
		plan := n.place(set, set.closesAppendage(), w)
		n.activation(plan, 1, w)
		for i := range n.size() {
			far := w.march.at[i].distance
			if (far < infinite) != plan.reached[i] {
				t.Fatalf("node %d: reached %v, but the beat arrives after %v mm", i, plan.reached[i], far)
			}
			if far < n.intactMM[i]*0.98 {
				t.Fatalf("node %d: %v mm with cuts, %v without", i, far, n.intactMM[i])
			}
		}
	})
}

// TestIsochrones: the times for drawing agree with the result, and no triangle drawn is cut.
func TestIsochrones(t *testing.T) {
	set := table[8].set
	maps, err := Default().Activation(set)
	if err != nil {
		t.Fatal(err)
	}
	r, _ := Default().Conduct(set)
	latest := [2]float64{*r.Activation.LeftAtrium.LatestMS, *r.Activation.RightAtrium.LatestMS}
	for i, m := range maps {
		last := -1.0
		for _, ms := range m.TimesMS {
			last = max(last, ms)
		}
		if last != latest[i] || len(m.Nodes) != len(m.TimesMS) || len(m.Triangles) < len(m.Nodes) {
			t.Errorf("%s: last time %v, result says %v; %d nodes, %d times, %d triangles", m.Chamber, last, latest[i], len(m.Nodes), len(m.TimesMS), len(m.Triangles))
		}
	}
	if _, err := Default().Activation(LesionSet{LeftAtriumDiameterMM: -1}); err == nil {
		t.Error("an invalid set has no faults")
	}
}
