package atrium

import "slices"

// settled finds the loops that no two others joined are as short as, and those always told. Of an intact chamber it finds the shortest
// loop of every pattern: a cut only lengthens loops, so that those serve every lesion set.
func (t *tissue) settled(n *network, shell []bool, w *work) []loop {
	c := t.unroll(n, w)
	open := uint64(1)<<(len(c.best)-1)<<1 - 2 // all patterns but that of nothing
	if t.whole != nil {
		open &^= c.inherit(shell)
	}
	if open != 0 {
		c.lay(shell)
		c.guess(shell)
		c.settle(open)
		if doubts := c.doubts(); t.whole != nil && doubts != 0 {
			c.settle(doubts)
		}
	}
	var found []loop
	for p, l := range c.best {
		if l.nodes != nil && (c.limit[p] == infinite || c.joined(p) > l.length+sameMM) {
			found = append(found, l)
		}
	}
	return found
}

// settle searches for the loops of patterns, each from the arc with the fewest places that they cross.
func (c *cover) settle(open uint64) {
	for _, a := range c.drawn {
		var across uint64
		for p := range eachBit(open) {
			if odd(a.ends & uint64(p)) {
				across |= 1 << p
			}
		}
		if across != 0 {
			c.along(a, across)
			open &^= across
		}
	}
}

// inherit takes over from the intact chamber how short a loop can be at the least, and the loops that nothing cuts, whose patterns it
// returns as a set: they are the shortest still.
func (c *cover) inherit(shell []bool) (known uint64) {
	for p := range c.least {
		c.least[p] = c.whole.shortest(c.inWhole(uint64(p)))
	}
	for _, l := range c.whole.every {
		p, open := c.follow(l.nodes, shell)
		if open && p != 0 && p < uint64(len(c.best)) {
			l.pattern = p
			c.best[p], c.least[p] = l, l.length
			known |= 1 << p
		}
	}
	return known
}

// inWhole is the pattern in the intact chamber, where every obstacle is a hole of its own.
func (c *cover) inWhole(pattern uint64) uint64 {
	whole := uint64(0)
	for h, hole := range c.holes {
		if pattern&c.bit(int32(h)) == 0 {
			continue
		}
		for k, intact := range c.whole.tissue.holes {
			if slices.Contains(hole.obstacles, intact.obstacles[0]) {
				whole |= c.whole.tissue.bit(int32(k))
			}
		}
	}
	return whole
}

// shortest is the length of the shortest loop of a pattern in an intact chamber; 0 for that of nothing.
func (intact *chamberLoops) shortest(pattern uint64) float64 {
	for _, l := range intact.every {
		if l.pattern == pattern {
			return l.length
		}
	}
	return 0
}

// follow is the pattern of a closed path, and whether nothing cuts it.
func (c *cover) follow(nodes []int32, shell []bool) (pattern uint64, open bool) {
	for i, node := range nodes {
		next, joined := nodes[(i+1)%len(nodes)], false
		for _, l := range c.n.links[c.n.from[node]:c.n.from[node+1]] {
			if l.to == next && !shell[l.edge] {
				pattern ^= c.crosses[l.edge]
				joined = true
			}
		}
		if !joined {
			return 0, false
		}
	}
	return pattern, true
}

// guess grows the tree of shortest paths from the middle of the shortest arcs: an edge between two branches closes a loop, and the shortest
// loop of a pattern is seldom much shorter than the shortest of these.
func (c *cover) guess(shell []bool) {
	guesses := map[uint64]loop{}
	for _, a := range c.drawn[:min(2, len(c.drawn))] {
		c.w.places = c.places(c.w.places[:0], a.edges)
		if len(c.w.places) == 0 {
			continue // the arc crosses no tissue
		}
		start := c.w.places[len(c.w.places)/2]
		c.w.tree.grow(c.n, start, -1, c.crosses, shell, infinite)
		c.close(c.n, shell, start, &c.w.tree, guesses)
	}
	for p, l := range guesses {
		if c.best[p].nodes == nil {
			c.best[p].length = l.length + sameMM
		}
	}
}

// doubts are the patterns of which more must be known to tell whether loops found are as long as two others joined. Their limits are
// set to what matters.
func (c *cover) doubts() (open uint64) {
	limit := make([]float64, len(c.best))
	for p, l := range c.best {
		if l.nodes == nil || c.limit[p] == infinite || c.joined(p) <= l.length+sameMM {
			continue
		}
		for part := 1; part < len(c.best); part++ {
			rest := part ^ p
			if rest != 0 && c.least[part]+c.least[rest] <= l.length+sameMM && c.best[part].length > c.least[part]+sameMM {
				limit[part] = max(limit[part], l.length-c.least[rest]+2*sameMM)
				open |= 1 << part
			}
		}
	}
	for p := range eachBit(open) {
		c.limit[p] = limit[p]
	}
	return open
}
