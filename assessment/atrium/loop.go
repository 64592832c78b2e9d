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
	reference    int      // the hole with the valve annulus; -1 where none of the chamber conducts
	arcs         int      // holes other than the reference, and the strip
	crosses      []uint64 // per edge of the network: the holes whose way to the reference crosses it
	drawn        []arc    // those ways, the arc with the fewest edges first
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
	if l := t.layers(w); l.count > 0 {
		for _, found := range t.basis(n, shell, w) {
			best[found.pattern] = found
		}
		t.compose(n, shell, w, l, best)
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

// basis finds the shortest set of independent loops in the shell, one for each arc (de Pina's method, with the shortest odd loop of
// each round found from trees; Kavitha and others 2009, Computer Science Review; from memory). In each round a loop must cross a set of
// arcs, the support, an odd number of times in all; the supports that follow are changed so that what they find is independent of it.
func (t *tissue) basis(n *network, shell []bool, w *work) []loop {
	supports := make([]uint64, len(t.drawn))
	for k, a := range t.drawn {
		supports[k] = a.ends
	}
	loops := make([]loop, 0, len(supports))
	for k, support := range supports {
		best := t.odd(n, shell, w, support)
		if best.u < 0 {
			continue // the arc crosses no tissue
		}
		w.tree.grow(n, best.start, -1, t.crosses, shell, best.length/2+n.longest)
		best.trace(&w.tree)
		loops = append(loops, best)
		for j := k + 1; j < len(supports); j++ {
			if odd(best.pattern & supports[j]) {
				supports[j] ^= support
			}
		}
	}
	return loops
}

// slackMM is how much farther than the best loop needs a search goes. A place whose own loop is longer than the best by some length
// rules out every place within half of that: no loop through those can be shorter. A little slack so saves most searches.
const slackMM = 8.0

// odd finds the shortest loop that crosses the arcs of a support an odd number of times. It passes through an edge that the support
// crosses, and it is made of two shortest paths from there and the edge that joins them.
func (t *tissue) odd(n *network, shell []bool, w *work, support uint64) loop {
	w.places = w.places[:0]
	for _, a := range t.drawn {
		for _, e := range a.edges {
			if odd(t.crosses[e] & support) {
				w.places = append(w.places, t.nodes+t.mesh.edges[e-t.edges][0])
			}
		}
	}
	best := loop{length: infinite, u: -1}
	spread(w.places, func(start int32) {
		found := t.oddThrough(n, shell, &w.tree, support, start, best.length+2*slackMM)
		if found.length < best.length-1e-9 {
			best = found
		}
		spare := (found.length - best.length) / 2
		for i, place := range w.places {
			if place >= 0 && w.tree.at[place].distance <= spare {
				w.places[i] = -1
			}
		}
	})
	return best
}

// spread visits the places of a list, the middle first and then the middles of either part, so that few visits rule out the rest: a
// place that became negative meanwhile is left out.
func spread(places []int32, visit func(place int32)) {
	if len(places) == 0 {
		return
	}
	half := len(places) / 2
	if place := places[half]; place >= 0 {
		places[half] = -1
		visit(place)
	}
	spread(places[:half], visit)
	spread(places[half+1:], visit)
}

// oddThrough is the shortest odd loop through a node if it is shorter than limit, else a loop of that length. Both branches lie within
// half its length, so the tree stops there.
func (t *tissue) oddThrough(n *network, shell []bool, s *search, support uint64, start int32, limit float64) loop {
	best := loop{length: limit, start: start, u: -1}
	if len(s.side) < len(s.at) {
		s.side = make([]uint64, len(s.at))
	}
	s.begin(start)
	s.side[start] = 0
	for node := s.pop(); node >= 0; node = s.pop() {
		from := s.at[node]
		if from.distance > best.length/2+s.width {
			break // buckets are sorted, nodes within one are not
		}
		for _, l := range n.links[n.from[node]:n.from[node+1]] {
			if shell[l.edge] {
				continue
			}
			if s.done[l.to] {
				pattern := s.side[node] ^ s.side[l.to] ^ t.crosses[l.edge]
				if length := from.distance + l.length + s.at[l.to].distance; length < best.length && odd(pattern&support) {
					best.pattern, best.length, best.u, best.v = pattern, length, node, l.to
				}
			} else if s.offer(l.to, node, l.edge, from.distance+l.length) {
				s.side[l.to] = s.side[node] ^ t.crosses[l.edge]
			}
		}
	}
	return best
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
