package atrium

import (
	"maps"
	"slices"
)

// sweep stands in where there are too many loose lines to unroll the tissue: from every place on every arc it grows the whole tree and
// keeps the shortest loop of each pattern that one edge closes. The shortest independent ones are exact (Erickson and Whittlesey 2005,
// greedy optimal homotopy and homology generators); others may be a little long.
func (t *tissue) sweep(n *network, shell []bool, w *work, best map[uint64]loop) {
	w.places = w.places[:0]
	for _, a := range t.drawn {
		for _, e := range a.edges {
			w.places = append(w.places, t.nodes+t.mesh.edges[e-t.edges][0])
		}
	}
	slices.Sort(w.places)
	swept := map[uint64]loop{}
	for _, start := range slices.Compact(w.places) {
		w.tree.grow(n, start, -1, t.crosses, shell, infinite)
		t.close(n, shell, start, &w.tree, swept)
	}
	for pattern, l := range swept {
		w.tree.grow(n, l.start, -1, t.crosses, shell, l.length/2+n.longest)
		l.trace(&w.tree)
		swept[pattern] = l
	}
	maps.Copy(best, swept)
}

// close keeps, for each pattern, the shortest loop that one edge closes between branches of the tree.
func (t *tissue) close(n *network, shell []bool, start int32, s *search, best map[uint64]loop) {
	for _, u := range s.settled {
		for _, l := range n.links[n.from[u]:n.from[u+1]] {
			v := l.to
			if v < u || shell[l.edge] || s.at[u].edge == l.edge || s.at[v].edge == l.edge {
				continue
			}
			pattern := s.side[u] ^ s.side[v] ^ t.crosses[l.edge]
			if pattern == 0 {
				continue
			}
			length := s.at[u].distance + l.length + s.at[v].distance
			if known, ok := best[pattern]; !ok || length < known.length-1e-9 {
				best[pattern] = loop{pattern: pattern, length: length, start: start, u: u, v: v}
			}
		}
	}
}
