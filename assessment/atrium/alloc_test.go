package atrium

import "testing"

// TestSearchesDoNotAllocate: the march of the beat, the trees and the searches over layers run in memory they have, so that a result costs
// no garbage that grows with the mesh.
func TestSearchesDoNotAllocate(t *testing.T) {
	n, tissue, plan, w := laidOut(coarse, LesionSet{Lesions: []Lesion{{Chamber: LeftAtrium, Path: []Vec{{0.2, -0.5, 0.8}, {0.1, -0.8, 0.5}}}}})
	tissue.whole = n.intactLoops(0)
	c := tissue.unroll(n, w)
	c.lay(plan.shell)
	c.guess(plan.shell)
	place, open := tissue.places(nil, tissue.drawn[0].edges)[0], uint64(0)
	for p := range c.best {
		if odd(tissue.drawn[0].ends & uint64(p)) {
			open |= 1 << p
		}
	}
	for _, search := range []struct {
		name string
		run  func()
	}{
		{"the march", func() { n.march(n.sinus, plan.shut, w) }},
		{"a tree", func() { w.tree.grow(n, place, -1, tissue.crosses, plan.shell, infinite) }},
		{"a search over layers", func() { c.through(place-tissue.nodes, open, slackMM) }},
		{"what is wide", func() { n.wide(n.left, plan.reached, plan.shell, 38, w) }},
		{"the nodes reached", func() { w.queue = n.flood(n.sinus, plan.shut, plan.reached, w.queue) }},
	} {
		if allocated := testing.AllocsPerRun(5, search.run); allocated > 0 { // it runs once before it counts
			t.Errorf("%s allocates %v times", search.name, allocated)
		}
	}
}
