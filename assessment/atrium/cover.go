package atrium

import (
	"maps"
	"math/bits"
	"slices"
)

// Tightening. Unroll the tissue into layers, one for each side pattern: crossing an arc changes the layer. A closed path of pattern p
// through a node is a path in the unrolled tissue from the node in layer 0 to the same node in layer p, and Dijkstra's method finds the
// shortest. A loop that is tight but for the one node it was anchored at becomes tight once anchored again half way round.

// layeredArcs is the most arcs that are unrolled: 64 layers. A plan with more is full of loose lines, and the trees' loops must do.
const layeredArcs = 6

// work is the memory of one computation, reused from set to set.
type work struct {
	tree  search // over nodes
	cover search // over nodes x layers
}

// layers maps side patterns to layer numbers.
type layers struct {
	bits  []uint64 // bit of each arc in use
	count int32
	of    []uint8 // per edge: the arcs it crosses, as a layer number
}

func (t *tissue) layers() layers {
	var l layers
	seen := uint64(0)
	for _, crossed := range t.crosses {
		seen |= crossed
	}
	for bit := range mostArcs {
		if seen&(1<<bit) != 0 {
			l.bits = append(l.bits, 1<<bit)
		}
	}
	if len(l.bits) > layeredArcs {
		return l
	}
	l.count = 1 << len(l.bits)
	l.of = make([]uint8, len(t.crosses))
	for e, crossed := range t.crosses {
		if crossed != 0 {
			l.of[e] = l.number(crossed)
		}
	}
	return l
}

func (l layers) number(pattern uint64) uint8 {
	number := uint8(0)
	for k, bit := range l.bits {
		if pattern&bit != 0 {
			number |= 1 << k
		}
	}
	return number
}

func (l layers) pattern(number uint8) uint64 {
	pattern := uint64(0)
	for k, bit := range l.bits {
		if number&(1<<k) != 0 {
			pattern |= bit
		}
	}
	return pattern
}

// tighten shortens the loop of every pattern as far as it goes, from the shortest up: a pattern that two shorter loops make up is only
// of interest below the sum of their lengths.
func (t *tissue) tighten(n *network, closed []bool, w *work, best map[uint64]loop) {
	l := t.layers()
	if l.count < 4 { // one arc: the trees' loop is the shortest
		return
	}
	w.cover.resize(n.size() * int(l.count))
	for number := int32(1); number < l.count; number++ {
		pattern := l.pattern(uint8(number))
		if pattern&t.stripBit != 0 {
			continue // only the shortest loop over the strip is reported, and the trees have found it
		}
		anchors, bound := t.anchors(pattern, best, l)
		for _, anchor := range anchors {
			for range 4 {
				found, shorter := t.through(n, closed, &w.cover, l, uint8(number), anchor, bound)
				if !shorter {
					break
				}
				best[pattern] = found
				anchor, bound = found.nodes[len(found.nodes)/2], found.length
			}
		}
	}
}

// manyAnchors is how many places a pattern is tightened from while the layers are few enough for it to cost little. A loop can be tight
// and yet pass the wrong side of something; from places spread over an arc that it must cross the right side is found.
const manyAnchors = 6

// anchors are the nodes to tighten a pattern from, and the length a loop must beat: its own best, or two others joined.
func (t *tissue) anchors(pattern uint64, best map[uint64]loop, l layers) (nodes []int32, bound float64) {
	bound = infinite
	var nearest loop
	if own, known := best[pattern]; known {
		nearest, bound = own, own.length
	}
	for _, part := range slices.Sorted(maps.Keys(best)) {
		rest, known := best[pattern^part]
		if first := best[part]; known && first.length+rest.length < bound-1e-9 {
			nearest, bound = first, first.length+rest.length
		}
	}
	if bound == infinite {
		return nil, bound
	}
	nodes = append(nodes, nearest.nodes[len(nearest.nodes)/2])
	if l.count > 8 {
		return nodes, bound
	}
	arc := t.arcStarts[bits.TrailingZeros64(pattern)]
	for k := range min(manyAnchors, len(arc)) {
		nodes = append(nodes, arc[k*len(arc)/manyAnchors%len(arc)])
	}
	return nodes, bound
}

// through finds the shortest loop of a layer through a node, if it is shorter than bound. Both halves of such a loop lie within half the
// bound, so the search goes no farther.
func (t *tissue) through(n *network, closed []bool, s *search, l layers, layer uint8, node int32, bound float64) (loop, bool) {
	reach := bound / 2
	s.begin(node * l.count)
	for len(s.heap) > 0 {
		state := s.pop()
		at, number, far := state/l.count, uint8(state%l.count), s.distance[state]
		if far > reach {
			break
		}
		for _, link := range n.links[n.from[at]:n.from[at+1]] {
			if !closed[link.edge] && !t.gone[link.to] {
				s.offer(link.to*l.count+int32(number^l.of[link.edge]), state, link.edge, far+link.length)
			}
		}
	}
	found := loop{pattern: l.pattern(layer), length: bound - 1e-9, start: node * l.count, u: -1}
	for _, state := range s.settled {
		at, number := state/l.count, uint8(state%l.count)
		for _, link := range n.links[n.from[at]:n.from[at+1]] {
			if closed[link.edge] || t.gone[link.to] {
				continue
			}
			other := link.to*l.count + int32(number^l.of[link.edge]^layer)
			if length := s.distance[state] + link.length + s.distance[other]; length < found.length {
				found.length, found.u, found.v = length, state, other
			}
		}
	}
	if found.u < 0 {
		return loop{}, false
	}
	found.trace(s)
	for i := range found.nodes {
		found.nodes[i] /= l.count
	}
	found.start = node
	found.nodes = trim(found.nodes)
	return found, true
}
