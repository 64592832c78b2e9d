package atrium

import (
	"encoding/json"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// coarse is a model with nodes every 3 mm: the properties hold on any mesh, and this one lets them be tried on many sets.
var coarse = New(11)

// anyVec draws a direction.
func anyVec(t *rapid.T, label string) Vec {
	v := Vec{rapid.Float64Range(-1, 1).Draw(t, label+"x"), rapid.Float64Range(-1, 1).Draw(t, label+"y"), rapid.Float64Range(-1, 1).Draw(t, label+"z")}
	if v.length() < 0.2 {
		v[2] = 1
	}
	return v.unit()
}

// anySet draws named lesions and drawn paths that wander.
func anySet(t *rapid.T) LesionSet {
	set := LesionSet{Lesions: []Lesion{}}
	for _, l := range catalogue {
		if rapid.Bool().Draw(t, string(l.id)) {
			set.Lesions = append(set.Lesions, Lesion{Name: l.id})
		}
	}
	for k := range rapid.IntRange(0, 3).Draw(t, "drawn") {
		l := Lesion{Chamber: rapid.SampledFrom([]Chamber{LeftAtrium, RightAtrium}).Draw(t, "chamber"), Closed: rapid.Bool().Draw(t, "closed")}
		at := anyVec(t, "start")
		for range rapid.IntRange(3, 6).Draw(t, "points") {
			l.Path = append(l.Path, at)
			at = towards(at, anyVec(t, "towards").plus(Vec{0.01, 0.02, 0.03}).unit(), rapid.Float64Range(0.05, 0.6).Draw(t, "step"))
		}
		_ = k
		set.Lesions = append(set.Lesions, l)
	}
	set.LeftAppendage = rapid.SampledFrom([]AppendageState{"", AppendageExcised, AppendageExcluded}).Draw(t, "appendage")
	set.LeftAtriumDiameterMM = rapid.SampledFrom([]float64{0, 46, 55}).Draw(t, "diameter")
	return set
}

// TestCircuitsMatchBetti: the circuits counted from holes are as many as the first Betti number from the Euler characteristic, which
// knows nothing of holes, and the circuits reported span them all (while they fit a side pattern).
func TestCircuitsMatchBetti(t *testing.T) {
	w := &work{}
	rapid.Check(t, func(t *rapid.T) {
		set := anySet(t)
		n := coarse.network(set)
		w.tree.fit(n, n.size())
		closed := set.LeftAppendage == AppendageExcised || set.LeftAppendage == AppendageExcluded
		plan := n.place(set, closed, w)
		for _, m := range []*mesh{n.left, n.right} {
			tissue := n.tissue(m, plan, closed, w)
			if tissue.reference < 0 {
				continue
			}
			if betti := betti(n, m, plan); betti != tissue.arcs {
				t.Fatalf("%s: %d circuits from holes, first Betti number %d", m.chamber, tissue.arcs, betti)
			}
			if loops := report(tissue.shortest(n, plan.shell, w), tissue.stripBit, tissue.told()); rank(loops) != tissue.arcs {
				t.Fatalf("%s: %d independent circuits, but those reported span %d", m.chamber, tissue.arcs, rank(loops))
			}
		}
	})
}

// TestOrderDoesNotMatter: a set is a set. Only the list of lesions and the gaps' indexes follow its order.
func TestOrderDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		set := anySet(t)
		shuffled := set
		shuffled.Lesions = append([]Lesion{}, set.Lesions...)
		seed := rapid.Uint64().Draw(t, "seed")
		rand.New(rand.NewPCG(seed, 1)).Shuffle(len(shuffled.Lesions), func(i, j int) {
			shuffled.Lesions[i], shuffled.Lesions[j] = shuffled.Lesions[j], shuffled.Lesions[i]
		})
		if a, b := effect(t, set), effect(t, shuffled); a != b {
			t.Fatalf("the order of lesions matters: %.300s\n%.300s", a, b)
		}
	})
}

// effect is a result as JSON without what follows the order of the set.
func effect(t *rapid.T, set LesionSet) string {
	r, err := coarse.Conduct(set)
	if err != nil {
		t.Fatal(err)
	}
	r.Lesions, r.Hazards, r.LeftAtrium.Gaps, r.RightAtrium.Gaps = nil, nil, nil, nil
	data, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// TestSameBytes: computing twice, with used memory, gives the same bytes.
func TestSameBytes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		set := anySet(t)
		if a, b := effect(t, set), effect(t, set); a != b {
			t.Fatal("two results of one set differ")
		}
	})
}
