package atrium

import (
	"math/bits"
	"slices"
)

// To find the shortest loop of every side pattern, unroll the tissue into layers, one for each pattern: crossing an edge that lies on the
// ways of some holes to the reference changes the layer by those. A closed path of pattern p through a node is a path in the unrolled
// tissue from the node in layer 0 to the same node in layer p. One search from a node (Dijkstra's method) so finds the shortest loops of
// all patterns through it, and a loop that crosses an arc passes one of the few nodes along that arc.

// layeredArcs is the most arcs that are unrolled: 64 layers. A plan with more is full of loose lines, and sweep must do.
const layeredArcs = 6

// slackMM is how much farther than needed a search goes. A place whose own loop is longer than the best by some length rules out every
// place within half of that: no loop through those can be shorter. A little slack so saves searches.
const slackMM = 2.0

// sameMM is how much two lengths may differ by rounding.
const sameMM = 1e-6

// cover is the unrolled tissue and what is known of the loops in it. The number of a layer is its pattern.
type cover struct {
	*tissue
	w     *work
	n     *network
	count int32     // nodes of a layer
	best  []loop    // by pattern: the shortest loop known; without nodes it is a guess, a little too long
	least []float64 // by pattern: a length that no loop of it falls short of
	limit []float64 // by pattern: a length from which on loops are of no interest; 0 stands for that of two others joined
}

// hop is an edge of the tissue as a search over layers takes it.
type hop struct {
	to, flip int32 // the node in its chamber; what changes in the layer
	length   float64
}

// unroll makes room for the layers.
func (t *tissue) unroll(n *network, w *work) *cover {
	layers := 1 << len(t.drawn)
	c := &cover{tissue: t, w: w, n: n, count: int32(len(t.mesh.nodes)), best: make([]loop, layers), least: make([]float64, layers), limit: make([]float64, layers)}
	for p := range c.best {
		c.best[p] = loop{pattern: uint64(p), length: infinite}
		if t.whole == nil || slices.Contains(t.told(), uint64(p)) {
			c.limit[p] = infinite
		}
	}
	return c
}

// lay lists the hops from each node that the searches take.
func (c *cover) lay(shell []bool) {
	w := c.w
	w.cover.fit(c.n, len(c.best)*len(c.mesh.nodes))
	w.hops, w.hopFrom = w.hops[:0], w.hopFrom[:0]
	for node := c.nodes; node < c.nodes+c.count; node++ {
		w.hopFrom = append(w.hopFrom, int32(len(w.hops)))
		for _, l := range c.n.links[c.n.from[node]:c.n.from[node+1]] {
			if !shell[l.edge] {
				w.hops = append(w.hops, hop{l.to - c.nodes, int32(c.crosses[l.edge]), l.length})
			}
		}
	}
	w.hopFrom = append(w.hopFrom, int32(len(w.hops)))
}

// bound is the length from which on a loop of a pattern is of no interest.
func (c *cover) bound(pattern int) float64 {
	if limit := c.limit[pattern]; limit > 0 {
		return min(limit, c.best[pattern].length)
	}
	return min(c.joined(pattern), c.best[pattern].length)
}

// joined is the length of the shortest two known loops that make up a pattern.
func (c *cover) joined(pattern int) float64 {
	shortest := infinite
	for part := 1; part < len(c.best); part++ {
		if part != pattern {
			shortest = min(shortest, c.best[part].length+c.best[part^pattern].length)
		}
	}
	return shortest
}

// along searches from the places of an arc, one of which every loop passes that crosses it, for the patterns in open, all of which do.
// It leaves best the shortest, or no shorter than the bound.
func (c *cover) along(a arc, open uint64) {
	w := c.w
	w.places, w.open = c.places(w.places[:0], a.edges), w.open[:0]
	for range w.places {
		w.open = append(w.open, open)
	}
	slack := min(slackMM, float64(len(w.places)-1)*c.n.longest)
	middleFirst(0, len(w.places), func(k int) {
		if here := w.open[k]; here != 0 {
			w.open[k] = 0
			c.through(w.places[k]-c.nodes, here, slack)
			c.keep(here)
			c.ruleOut()
		}
	})
	for p := range eachBit(open) {
		c.least[p] = max(c.least[p], c.bound(p))
	}
}

// middleFirst visits the middle of a range and then the middles of either part, so that few visits rule out the rest.
func middleFirst(from, to int, visit func(k int)) {
	if from < to {
		middle := (from + to) / 2
		visit(middle)
		middleFirst(from, middle, visit)
		middleFirst(middle+1, to, visit)
	}
}

// eachBit yields the numbers of the bits that are set.
func eachBit(set uint64) func(yield func(int) bool) {
	return func(yield func(int) bool) {
		for ; set != 0; set &= set - 1 {
			if !yield(bits.TrailingZeros64(set)) {
				return
			}
		}
	}
}

// through finds the shortest loops through a node of the patterns in open, as far as they are shorter than their bounds and some slack: in
// w.bounds is how far it looked for each, in w.meets what it found. Both halves of a loop lie within half its length, so the search goes
// no farther.
func (c *cover) through(start int32, open uint64, slack float64) {
	w, s := c.w, &c.w.cover
	reach := c.prepare(open, slack)
	count, here, meets, allow := c.count, w.here, w.meets, w.allow // at hand for the inner loops
	s.begin(start)
	for state := s.pop(); state >= 0; state = s.pop() {
		far := s.at[state].distance
		if far > reach+s.width {
			return // buckets are sorted, states within one are not
		}
		layer := state / count
		at := state - layer*count
		late := false
		for others := here[at]; others != 0; others &= others - 1 {
			other := int32(bits.TrailingZeros64(others))
			p, back := layer^other, other*count+at
			length := far + s.at[back].distance
			if m := &meets[p]; length < m.length {
				m.length, m.u, m.v = length, state, back
				if open&(1<<p) != 0 && length+2*slack < w.bounds[p] {
					w.bounds[p] = length + 2*slack
					reach = c.reach(open)
				}
			}
			late = late || far-s.at[back].distance > allow[p]
		}
		if here[at] == 0 {
			w.first[at] = layer
		}
		here[at] |= 1 << layer
		if late {
			continue
		}
		for _, h := range w.hops[w.hopFrom[at]:w.hopFrom[at+1]] {
			to := (layer^h.flip)*count + h.to
			if length := far + h.length; length <= reach && length < s.at[to].distance {
				s.offer(to, state, -1, length)
			}
		}
	}
}

// prepare sets for each pattern how long a loop is looked for, and for each change of layer how much later than first a node may be
// reached with it: the way there in one layer and back in another is a loop as well, and what is known of those says how long the way
// back must be.
func (c *cover) prepare(open uint64, slack float64) (reach float64) {
	w := c.w
	w.bounds, w.meets, w.allow = sized(w.bounds, len(c.best)), sized(w.meets, len(c.best)), sized(w.allow, len(c.best))
	w.here, w.first = sized(w.here, int(c.count)), sized(w.first, int(c.count))
	for p := range w.meets {
		w.meets[p].length = infinite
	}
	for p := range eachBit(open) {
		w.bounds[p] = c.bound(p) + 2*slack
		for change := range w.allow {
			w.allow[change] = max(w.allow[change], w.bounds[p]-c.least[p^change])
		}
	}
	return c.reach(open)
}

// reach is how far from its start a search must go: half the longest loop of interest, and an edge.
func (c *cover) reach(open uint64) float64 {
	longest := 0.0
	for p := range eachBit(open) {
		longest = max(longest, c.w.bounds[p])
	}
	return longest/2 + c.n.longest
}

// keep takes over the loops of the last search that are shorter than what was known.
func (c *cover) keep(open uint64) {
	for p := range eachBit(open) {
		m := c.w.meets[p]
		if m.length >= c.best[p].length-1e-9 {
			continue
		}
		there, back := c.w.cover.trail(nil, m.u), c.w.cover.trail(nil, m.v)
		slices.Reverse(there)
		nodes := append(there, back[1:len(back)-1]...)
		for i := range nodes {
			nodes[i] = nodes[i]%c.count + c.nodes
		}
		c.best[p].length, c.best[p].nodes = m.length, trim(nodes)
	}
}

// ruleOut closes the patterns at the places that the last search says they cannot be shorter through.
func (c *cover) ruleOut() {
	w := c.w
	for k, place := range w.places {
		at := place - c.nodes
		if w.open[k] == 0 || w.here[at] == 0 {
			continue
		}
		near := w.cover.at[w.first[at]*c.count+at].distance
		for p := range eachBit(w.open[k]) {
			if min(w.meets[p].length, w.bounds[p])-c.bound(p) >= 2*near {
				w.open[k] &^= 1 << p
			}
		}
	}
}
