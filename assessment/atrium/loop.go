package atrium

import (
	"cmp"
	"slices"
)

// tissue is what the search needs to know of one chamber under one lesion set.
type tissue struct {
	mesh         *mesh
	nodes, edges int32      // offsets of the chamber's nodes and edges in the network
	strip        *laidStrip // the coronary sinus strip, where a circuit can pass through it
	stripBit     uint64     // its place in a pattern; 0 without it
	holes        []hole
	reference    int           // the hole with the valve annulus; -1 where none of the chamber conducts
	arcs         int           // holes other than the reference, and the strip
	crosses      []uint64      // per edge of the network: the holes whose way to the reference crosses it
	whole        *chamberLoops // of the intact chamber; nil where the tissue is that
	drawn        []arc         // those ways, the arc with the fewest edges first
}

// mostArcs is the number of arcs a side pattern can hold. A plan with more holes than that has dozens of loose lines; the circuits round
// the last of them are counted but not drawn.
const mostArcs = 64

// loop is the shortest closed path found so far of one side pattern.
type loop struct {
	pattern uint64
	length  float64
	start   int32
	u, v    int32   // the ends of the two branches that the closing edge joins
	nodes   []int32 // filled by trace
}

// shortest finds the shortest loop of the patterns that can be a circuit, shortest first. shell marks the edges that do not conduct and
// all strips.
func (t *tissue) shortest(n *network, shell []bool, w *work) []loop {
	w.tree.fit(n, n.size())
	best := map[uint64]loop{}
	if t.stripBit != 0 {
		l := t.overStrip(n, shell, w)
		best[l.pattern] = l
	}
	if len(t.drawn) <= layeredArcs {
		for _, found := range t.settled(n, shell, w) {
			best[found.pattern] = found
		}
	} else {
		t.sweep(n, shell, w, best)
	}
	loops := make([]loop, 0, len(best))
	for _, l := range best {
		loops = append(loops, l)
	}
	slices.SortFunc(loops, func(a, b loop) int {
		return cmp.Or(cmp.Compare(roundTo(a.length, 6), roundTo(b.length, 6)), cmp.Compare(a.pattern, b.pattern))
	})
	return loops
}

// overStrip is the shortest loop through the coronary sinus strip: along it, and back through the shell.
func (t *tissue) overStrip(n *network, shell []bool, w *work) loop {
	first, last := t.strip.nodes[0], t.strip.nodes[len(t.strip.nodes)-1]
	w.tree.grow(n, first, last, t.crosses, shell, infinite)
	l := loop{pattern: t.stripBit ^ w.tree.side[last], length: w.tree.at[last].distance + t.strip.lengthMM, start: first}
	back := w.tree.trail(nil, last)
	l.nodes = append(slices.Clone(t.strip.nodes), back[1:len(back)-1]...)
	return l
}

// trace fills in the loop's nodes from the tree it was found in.
func (l *loop) trace(s *search) {
	there, back := s.trail(nil, l.u), s.trail(nil, l.v)
	slices.Reverse(there)
	l.nodes = trim(append(there, back[:len(back)-1]...))
}

// trim removes the stem along which a loop leaves its start and comes back the same way.
func trim(nodes []int32) []int32 {
	for len(nodes) > 3 && nodes[1] == nodes[len(nodes)-1] {
		nodes = nodes[1 : len(nodes)-1]
	}
	return nodes
}
