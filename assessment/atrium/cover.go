package atrium

import "slices"

// Loops round several obstacles need not be in a basis. To find them, unroll the tissue into layers, one for each side pattern: crossing
// an arc changes the layer. A closed path of pattern p through a node is a path in the unrolled tissue from the node in layer 0 to the
// same node in layer p, and Dijkstra's method finds the shortest.

// layeredArcs is the most arcs that are unrolled: 64 layers. A plan with more is full of loose lines, and sweep must do.
const layeredArcs = 6

// layers maps the arcs an edge crosses to layers: the number of a layer is its pattern, as arcs fill a pattern's low bits.
type layers struct {
	count int32
	of    []uint8   // per edge of the network
	least []float64 // per layer: a length that no loop of its pattern falls short of; 0 while none is known
}

// layers is empty when there are too many arcs.
func (t *tissue) layers(w *work) layers {
	if len(t.drawn) > layeredArcs {
		return layers{}
	}
	w.layerOf = sized(w.layerOf, len(t.crosses))
	for _, a := range t.drawn {
		for _, e := range a.edges {
			w.layerOf[e] = uint8(t.crosses[e])
		}
	}
	return layers{count: 1 << len(t.drawn), of: w.layerOf}
}

// compose finds the loops of all patterns that a basis leaves out. The pattern that two others make up with the least length comes
// first, so that much is known when those of more parts are searched. Those always told are searched without a bound.
func (t *tissue) compose(n *network, shell []bool, w *work, l layers, best map[uint64]loop) {
	if l.count < 4 {
		return // one arc: the basis has its loop
	}
	w.cover.fit(n, n.size()*int(l.count))
	length := make([]float64, l.count)
	l.least = make([]float64, l.count)
	known, told := 1, t.told()
	for p := 1; p < len(length); p++ {
		length[p] = infinite
		if own, ok := best[uint64(p)]; ok {
			length[p], l.least[p] = own.length, own.length
			known++
		}
	}
	for ; known < int(l.count); known++ {
		pattern, bound := 0, infinite
		for p := 1; p < len(length); p++ {
			if length[p] == infinite {
				if b := joined(length, p); b < bound || pattern == 0 {
					pattern, bound = p, b
				}
			}
		}
		limit := bound
		if slices.Contains(told, uint64(pattern)) {
			limit = infinite
		}
		found := t.inLayer(n, shell, w, l, uint8(pattern), limit)
		if found.nodes == nil {
			return // it goes round a hole that nothing conducts round
		}
		length[pattern], l.least[pattern], best[uint64(pattern)] = found.length, min(found.length, bound), found
	}
}

// joined is the length of the shortest two known loops that make up a pattern.
func joined(length []float64, pattern int) float64 {
	shortest := infinite
	for part := 1; part < len(length); part++ {
		if part != pattern {
			shortest = min(shortest, length[part]+length[part^pattern])
		}
	}
	return shortest
}

// inLayer is the shortest loop of a pattern, which passes through the shortest arc of it. A loop found is tried again from half way
// round, which makes it tight at once. One no shorter than bound, two others joined, is of interest only as a part of others: no place
// is searched for what is no shorter than that.
func (t *tissue) inLayer(n *network, shell []bool, w *work, l layers, layer uint8, bound float64) loop {
	shortest := slices.IndexFunc(t.drawn, func(a arc) bool { return odd(a.ends & uint64(layer)) })
	w.places = w.places[:0]
	for _, e := range t.drawn[shortest].edges {
		w.places = append(w.places, t.nodes+t.mesh.edges[e-t.edges][0])
	}
	best := loop{pattern: uint64(layer), length: infinite}
	spread(w.places, func(start int32) {
		limit := min(best.length, bound) + 2*slackMM
		if best.nodes == nil {
			limit = infinite
		}
		for again := true; again; limit = best.length + 2*slackMM {
			found := t.through(n, shell, w, l, layer, start, limit)
			again = found.u >= 0 && found.length < best.length-1e-9
			if again {
				best = found
				best.trace(&w.cover)
				for i := range best.nodes {
					best.nodes[i] /= l.count
				}
				best.nodes = trim(best.nodes)
				start = best.nodes[len(best.nodes)/2]
			}
			t.ruleOut(w, l, (found.length-min(best.length, bound))/2)
		}
	})
	return best
}

// ruleOut takes out the places within a distance of the last search's start.
func (t *tissue) ruleOut(w *work, l layers, spare float64) {
	for i, place := range w.places {
		if place < 0 {
			continue
		}
		for layer := range l.count {
			if w.cover.at[place*l.count+layer].distance <= spare {
				w.places[i] = -1
			}
		}
	}
}

// through is the shortest loop of a layer through a node if it is shorter than limit, else one of that length with u negative. Both
// halves of such a loop lie within half its length, so the search goes no farther.
func (t *tissue) through(n *network, shell []bool, w *work, l layers, layer uint8, node int32, limit float64) loop {
	s := &w.cover
	best := loop{pattern: uint64(layer), length: limit, start: node * l.count, u: -1}
	w.first = sized(w.first, n.size())
	s.begin(best.start)
	for state := s.pop(); state >= 0; state = s.pop() {
		at, number, far := state/l.count, uint8(state%l.count), s.at[state].distance
		if far > best.length/2+s.width {
			break
		}
		if far+t.rest(w, l, at, number, layer) > best.length+1e-9 {
			continue
		}
		for _, link := range n.links[n.from[at]:n.from[at+1]] {
			if shell[link.edge] {
				continue
			}
			to := link.to*l.count + int32(number^l.of[link.edge])
			if meets := link.to*l.count + int32(number^l.of[link.edge]^layer); s.done[meets] {
				if length := far + link.length + s.at[meets].distance; length < best.length {
					best.length, best.u, best.v = length, state, meets
				}
			}
			if !s.done[to] {
				s.offer(to, state, link.edge, far+link.length)
			}
		}
	}
	return best
}

// rest is a length that the way back from a node, which must end in another layer, cannot fall short of: with the way by which the
// node was first reached it makes a loop, and the shortest loop of that pattern may be known.
func (t *tissue) rest(w *work, l layers, node int32, number, layer uint8) float64 {
	if w.first[node] == 0 {
		w.first[node] = number + 1
	}
	first := w.first[node] - 1
	return l.least[number^layer^first] - w.cover.at[node*l.count+int32(first)].distance
}
