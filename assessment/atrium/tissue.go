package atrium

import "slices"

// tissue gathers what the search needs of one chamber. reached marks the network's nodes connected to the sinus node.
func (n *network) tissue(m *mesh, reached, severed []bool, closedOstium bool) *tissue {
	t := &tissue{mesh: m, crosses: make([]uint64, n.edges), gone: make([]bool, n.size())}
	if m == n.right {
		t.nodes, t.edges = int32(len(n.left.nodes)), int32(len(n.left.edges))
	}
	alive := make([]bool, len(m.nodes))
	for i := range t.gone {
		t.gone[i] = true
	}
	for i := range m.nodes {
		alive[i] = reached[t.nodes+int32(i)]
		t.gone[t.nodes+int32(i)] = !alive[i]
	}
	own := severed[t.edges : int(t.edges)+len(m.edges)]
	found, of := m.holes(alive, own, closedOstium)
	t.holes = found
	t.reference = slices.IndexFunc(found, func(h hole) bool {
		return slices.Contains(h.obstacles, MitralAnnulus) || slices.Contains(h.obstacles, TricuspidAnnulus)
	})
	bit := 0
	for h := range found {
		if h == t.reference {
			continue
		}
		if bit < mostArcs-1 { // the last bit is the strip's
			t.draw(m.arcTo(int32(h), int32(t.reference), of, alive, own), uint64(1)<<bit)
		}
		bit++
	}
	t.arcs = len(found) - 1
	t.addStrip(n, reached, severed)
	slices.Sort(t.starts)
	t.starts = slices.Compact(t.starts)
	return t
}

// draw marks the edges an arc crosses; a circuit that crosses the arc passes through one of their first ends.
func (t *tissue) draw(edges []int32, bit uint64) {
	t.arcStarts = append(t.arcStarts, nil)
	for _, e := range edges {
		t.arcStarts[len(t.arcStarts)-1] = append(t.arcStarts[len(t.arcStarts)-1], t.nodes+t.mesh.edges[e][0])
		t.crosses[t.edges+e] ^= bit
		t.starts = append(t.starts, t.nodes+t.mesh.edges[e][0])
	}
}

// addStrip adds the coronary sinus strip along the annulus where both its ends are in conducting tissue and nothing cuts it.
func (t *tissue) addStrip(n *network, reached, severed []bool) {
	for i := range n.strips {
		s := &n.strips[i]
		first, last := s.nodes[0], s.nodes[len(s.nodes)-1]
		if !s.sinus || t.mesh != n.left || t.gone[first] || t.gone[last] || severed[s.edges[0]] {
			continue
		}
		loops := n.flood(first, severed, t.gone)[last] // otherwise it joins two pieces and closes nothing
		for _, node := range s.nodes {
			t.gone[node] = !reached[node]
		}
		if t.strip = s; !loops {
			continue
		}
		t.stripBit = 1 << (mostArcs - 1)
		t.crosses[s.edges[0]] = t.stripBit
		t.starts = append(t.starts, first)
		t.arcs++
	}
}

// betti is the first Betti number of the chamber's conducting tissue from its Euler characteristic: pieces - (V - E + F), with F the
// intact triangles. It is computed without holes or arcs, so that it can check them.
func (t *tissue) betti(n *network, severed []bool) int {
	m := t.mesh
	vertices, edges, faces := 0, 0, 0
	for i := range t.gone {
		if t.gone[i] {
			continue
		}
		vertices++
		for _, l := range n.links[n.from[i]:n.from[i+1]] {
			if l.to > int32(i) && !t.gone[l.to] && !severed[l.edge] && t.owns(l.edge) {
				edges++
			}
		}
	}
	for k, corners := range m.triangles {
		whole := true
		for c := range 3 {
			whole = whole && !t.gone[t.nodes+corners[c]] && !severed[t.edges+m.sides[k][c]]
		}
		if whole {
			faces++
		}
	}
	return t.pieces(n, severed) - (vertices - edges + faces)
}

// owns reports whether an edge is the chamber's: its mesh's or its strip's.
func (t *tissue) owns(edge int32) bool {
	if edge >= t.edges && int(edge) < int(t.edges)+len(t.mesh.edges) {
		return true
	}
	return t.strip != nil && slices.Contains(t.strip.edges, edge)
}

// pieces counts the pieces of the chamber's conducting tissue, which may be joined only through the other chamber.
func (t *tissue) pieces(n *network, severed []bool) int {
	seen := slices.Clone(t.gone)
	count := 0
	for i := range seen {
		if seen[i] {
			continue
		}
		count++
		for node, reached := range n.flood(int32(i), severed, t.gone) {
			if reached {
				seen[node] = true
			}
		}
	}
	return count
}
