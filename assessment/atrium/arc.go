package atrium

import (
	"cmp"
	"math/bits"
	"slices"
)

// An arc is a path over triangles from a hole to its parent, the next hole on the way to the reference. The arcs together are the
// shortest tree that joins all holes: short arcs leave few places where a loop can cross them, and so few searches.
type arc struct {
	edges []int32 // of the network, those it crosses, in order along it
	ends  uint64  // a loop crosses the arc an odd number of times when its pattern has an odd number of these bits
}

func odd(pattern uint64) bool { return bits.OnesCount64(pattern)&1 == 1 }

// meeting is an edge between the surroundings of two holes, and how many triangles away they are over it.
type meeting struct {
	edge    int32
	between [2]int32 // holes
	steps   int32
}

// draw joins the holes by arcs and marks the edges they cross. The way from a hole to the reference leads over the arcs of the tree, so
// an edge that the arc to a parent crosses belongs to the ways of all holes behind it.
func (t *tissue) draw(of []int32, alive, severed []bool, w *work) {
	parent, order, over := t.tree(t.mesh.meetings(of, w))
	behind := make([]uint64, len(t.holes))
	for _, h := range slices.Backward(order) {
		behind[h] |= t.bit(h)
		if h == int32(t.reference) {
			continue
		}
		behind[parent[h]] |= behind[h]
		a := arc{edges: t.mesh.along(over[h], of, alive, severed, w), ends: t.bit(h) ^ t.bit(parent[h])}
		for i := range a.edges {
			a.edges[i] += t.edges
			t.crosses[a.edges[i]] ^= behind[h]
		}
		t.drawn = append(t.drawn, a)
	}
	slices.SortStableFunc(t.drawn, func(a, b arc) int { return cmp.Compare(len(a.edges), len(b.edges)) })
}

// bit is a hole's place in a side pattern; 0 for the reference, and for holes beyond the most a pattern can hold.
func (t *tissue) bit(hole int32) uint64 {
	if int(hole) > t.reference {
		hole--
	} else if int(hole) == t.reference {
		return 0
	}
	if hole >= mostArcs-1 { // the last bit is the strip's
		return 0
	}
	return 1 << hole
}

// meetings grows the surroundings of all holes over the triangles, and lists the edges where those of two meet, nearest first. It leaves
// in w.came the edge by which each triangle was entered, +1, and in w.number the hole it belongs to.
func (m *mesh) meetings(of []int32, w *work) []meeting {
	w.came, w.number, w.depth, w.queue = sized(w.came, len(m.triangles)), sized(w.number, len(m.triangles)), sized(w.depth, len(m.triangles)), w.queue[:0]
	for t := range m.triangles {
		if of[t] >= 0 {
			w.came[t], w.number[t] = -1, of[t]
			w.queue = append(w.queue, int32(t))
		}
	}
	w.meetings = w.meetings[:0]
	for head := 0; head < len(w.queue); head++ {
		t := w.queue[head]
		for _, e := range m.sides[t] {
			next := m.across(e, t)
			switch {
			case w.came[next] == 0:
				w.came[next], w.number[next], w.depth[next] = e+1, w.number[t], w.depth[t]+1
				w.queue = append(w.queue, next)
			case w.number[next] > w.number[t]: // once for each edge
				w.meetings = append(w.meetings, meeting{e, [2]int32{w.number[t], w.number[next]}, w.depth[t] + w.depth[next]})
			}
		}
	}
	slices.SortFunc(w.meetings, func(a, b meeting) int { return cmp.Or(cmp.Compare(a.steps, b.steps), cmp.Compare(a.edge, b.edge)) })
	return w.meetings
}

// tree joins the holes by the shortest meetings (Kruskal's method) and hangs the tree up at the reference: the parent of each hole, the
// holes from the reference down, and the edge each hole meets its parent over.
func (t *tissue) tree(meetings []meeting) (parent, order, over []int32) {
	group := make([]int32, len(t.holes))
	next := make([][]meeting, len(t.holes)) // by hole
	for h := range group {
		group[h] = int32(h)
	}
	for _, m := range meetings {
		a, b := m.between[0], m.between[1]
		if from, to := group[a], group[b]; from != to {
			next[a], next[b] = append(next[a], m), append(next[b], m)
			for h := range group {
				if group[h] == from {
					group[h] = to
				}
			}
		}
	}
	parent, over = make([]int32, len(t.holes)), make([]int32, len(t.holes))
	order = append(order, int32(t.reference))
	for k := 0; k < len(order); k++ {
		for _, m := range next[order[k]] {
			if child := m.between[0] + m.between[1] - order[k]; child != parent[order[k]] || k == 0 {
				parent[child], over[child] = order[k], m.edge
				order = append(order, child)
			}
		}
	}
	return parent, order, over
}

// along lists the edges of tissue that the arc over a meeting crosses, from hole to hole.
func (m *mesh) along(over int32, of []int32, alive, severed []bool, w *work) []int32 {
	var crossed []int32
	cross := func(e int32) {
		if ends := m.edges[e]; alive[ends[0]] && alive[ends[1]] && !severed[e] {
			crossed = append(crossed, e)
		}
	}
	back := func(t int32) {
		for w.came[t] > 0 {
			e := w.came[t] - 1
			cross(e)
			t = m.across(e, t)
		}
	}
	back(m.facing[over][0])
	slices.Reverse(crossed)
	cross(over)
	back(m.facing[over][1])
	return crossed
}

// places appends nodes of the network so that each of the edges, which follow one another along an arc, has one of them for an end.
func (t *tissue) places(nodes, edges []int32) []int32 {
	for len(edges) > 0 {
		best, most := int32(0), 0
		for _, end := range t.mesh.edges[edges[0]-t.edges] {
			run := 1
			for run < len(edges) {
				if next := t.mesh.edges[edges[run]-t.edges]; next[0] != end && next[1] != end {
					break
				}
				run++
			}
			if run > most {
				best, most = end, run
			}
		}
		nodes, edges = append(nodes, t.nodes+best), edges[most:]
	}
	return nodes
}
