package atrium

import "slices"

// chamberLoops is a chamber's tissue with the loops in it.
type chamberLoops struct {
	tissue *tissue
	loops  []loop // those told
	every  []loop // those found; of an intact chamber the shortest of each pattern
}

// circuits finds the loops of a chamber.
func (n *network) circuits(m *mesh, plan placed, closedOstium bool, w *work) chamberLoops {
	side := boolIndex(m == n.right)
	if plan.changed(n, side) {
		return n.search(m, plan, closedOstium, n.intactLoops(side), w)
	}
	return *n.intactLoops(side)
}

// intactLoops are the loops of a chamber without lesions, left 0 or right 1. They are worked out once for a network.
func (n *network) intactLoops(side int) *chamberLoops {
	n.intact[side].Do(func() {
		w := &work{}
		n.whole[side] = n.search([]*mesh{n.left, n.right}[side], n.place(LesionSet{}, false, w), false, nil, w)
		n.whole[side].tissue.crosses = nil // only a search needs them, and they are large
	})
	return &n.whole[side]
}

func (n *network) search(m *mesh, plan placed, closedOstium bool, whole *chamberLoops, w *work) chamberLoops {
	t := n.tissue(m, plan, closedOstium, w)
	if t.reference < 0 {
		return chamberLoops{tissue: t}
	}
	t.whole = whole
	every := t.shortest(n, plan.shell, w)
	return chamberLoops{t, report(every, t.stripBit, t.told()), every}
}

// tissue gathers what the search needs of one chamber.
func (n *network) tissue(m *mesh, plan placed, closedOstium bool, w *work) *tissue {
	t := &tissue{mesh: m, nodes: n.offset(m), edges: n.edgeOffset(m)}
	w.crosses = sized(w.crosses, n.edges)
	t.crosses = w.crosses
	alive, own := plan.reached[t.nodes:int(t.nodes)+len(m.nodes)], plan.severed[t.edges:int(t.edges)+len(m.edges)]
	found, of := m.holes(alive, own, closedOstium && m == n.left, w)
	t.holes = found
	t.reference = slices.IndexFunc(found, func(h hole) bool {
		return slices.Contains(h.obstacles, MitralAnnulus) || slices.Contains(h.obstacles, TricuspidAnnulus)
	})
	if t.reference >= 0 && len(found) > 1 {
		t.draw(of, alive, own, w)
	}
	t.arcs = len(found) - 1
	t.addStrip(n, plan, w)
	return t
}

// addStrip adds the coronary sinus strip along the annulus where nothing cuts it and its ends are joined through the shell: otherwise
// it joins two pieces and closes nothing.
func (t *tissue) addStrip(n *network, plan placed, w *work) {
	for i := range n.strips {
		s := &n.strips[i]
		if !s.sinus || t.mesh != n.left || plan.shut[s.edges[0]] || !plan.reached[s.nodes[0]] {
			continue
		}
		w.seen = sized(w.seen, n.size())
		w.queue = n.flood(s.nodes[0], plan.shell, w.seen, w.queue)
		if w.seen[s.nodes[len(s.nodes)-1]] {
			t.strip, t.stripBit = s, 1<<(mostArcs-1)
			t.arcs++
		}
	}
}

// offset and edgeOffset are where a chamber's nodes and edges begin in the network.
func (n *network) offset(m *mesh) int32 {
	if m == n.right {
		return int32(len(n.left.nodes))
	}
	return 0
}

func (n *network) edgeOffset(m *mesh) int32 {
	if m == n.right {
		return int32(len(n.left.edges))
	}
	return 0
}
