package atrium

import (
	"cmp"
	"math/bits"
	"slices"
)

// tissue is what the search needs to know of one chamber under one lesion set.
type tissue struct {
	mesh         *mesh
	nodes, edges int32 // offsets of the chamber's nodes and edges in the network
	strip        *laidStrip
	stripBit     uint64
	holes        []hole
	reference    int // the hole with the valve annulus; -1 where none of the chamber conducts
	arcs         int // holes other than the reference, and the strip where it conducts
	crosses      []uint64
	gone         []bool    // nodes outside the chamber's conducting tissue
	starts       []int32   // a node of every edge that an arc crosses
	arcStarts    [][]int32 // the same, arc by arc
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

// shortest finds the shortest loop of the patterns that can be a circuit, shortest first.
//
// Every circuit crosses an arc, so it grows the tree of shortest paths from each node on an arc; an edge that joins two branches of the
// tree closes a path. The shortest loops of a basis are all of this form, whichever of their nodes the tree grows from (Erickson and
// Whittlesey 2005, greedy optimal homotopy and homology generators). Loops round several obstacles need not be: cover.go tightens those.
func (t *tissue) shortest(n *network, closed []bool, w *work) []loop {
	best := map[uint64]loop{}
	for _, start := range t.starts {
		w.tree.grow(n, start, t.crosses, closed, t.gone)
		t.close(n, closed, start, &w.tree, best)
	}
	for pattern, l := range best {
		w.tree.grow(n, l.start, t.crosses, closed, t.gone)
		l.trace(&w.tree)
		best[pattern] = l
	}
	t.tighten(n, closed, w, best)
	loops := make([]loop, 0, len(best))
	for _, l := range best {
		loops = append(loops, l)
	}
	slices.SortFunc(loops, func(a, b loop) int {
		return cmp.Or(cmp.Compare(roundTo(a.length, 6), roundTo(b.length, 6)), cmp.Compare(a.pattern, b.pattern))
	})
	return loops
}

// close keeps, for each pattern, the shortest loop that one edge closes between branches of the tree.
func (t *tissue) close(n *network, closed []bool, start int32, s *search, best map[uint64]loop) {
	for _, u := range s.settled {
		for _, l := range n.links[n.from[u]:n.from[u+1]] {
			v := l.to
			if v < u || closed[l.edge] || t.gone[v] || s.parent[u] == l.edge || s.parent[v] == l.edge {
				continue
			}
			pattern := s.side[u] ^ s.side[v] ^ t.crosses[l.edge]
			if pattern == 0 {
				continue
			}
			length := s.distance[u] + l.length + s.distance[v]
			if known, ok := best[pattern]; !ok || length < known.length-1e-9 {
				best[pattern] = loop{pattern: pattern, length: length, start: start, u: u, v: v}
			}
		}
	}
}

// trace fills in the loop's nodes from the tree it was found in.
func (l *loop) trace(s *search) {
	var there, back []int32
	for u := l.u; u >= 0; u = s.before[u] {
		there = append(there, u)
	}
	for v := l.v; v >= 0 && v != l.start; v = s.before[v] {
		back = append(back, v)
	}
	slices.Reverse(there)
	l.nodes = trim(append(there, back...))
}

// trim removes the stem along which a loop leaves its start and comes back the same way.
func trim(nodes []int32) []int32 {
	for len(nodes) > 3 && nodes[1] == nodes[len(nodes)-1] {
		nodes = nodes[1 : len(nodes)-1]
	}
	return nodes
}

// rank is the number of independent patterns among loops (elimination over the field of two elements).
func rank(loops []loop) int {
	var rows []uint64
	for _, l := range loops {
		p := l.pattern
		for _, row := range rows {
			p = min(p, p^row)
		}
		if p != 0 {
			rows = append(rows, p)
			slices.SortFunc(rows, func(a, b uint64) int { return bits.Len64(b) - bits.Len64(a) })
		}
	}
	return len(rows)
}
