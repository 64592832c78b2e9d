package atrium

import "strings"

// scope is computed from effect, never from names: vein isolation is all four veins isolated; a box also the posterior wall; a left
// atrial set also no circuit of 78 mm or more left in the left atrium, its coronary sinus strip included; a biatrial set also none in
// the right.
func scope(r Result) Scope {
	switch {
	case len(r.VeinsIsolated) < 4:
		return ScopeNone
	case !r.PosteriorWallIsolated:
		return ScopePulmonaryVeinIsolation
	case r.LeftAtrium.longest() >= harmlessMM:
		return ScopeBox
	case r.RightAtrium.longest() >= harmlessMM:
		return ScopeLeftAtrial
	}
	return ScopeBiatrial
}

// longest is the length in mm of the longest circuit reported, 0 when there is none.
func (c ChamberResult) longest() float64 {
	longest := 0.0
	for _, circuit := range c.Circuits {
		longest = max(longest, circuit.LengthMM)
	}
	return longest
}

// veinsIsolated lists the veins that no tissue reached from the sinus node borders on: every edge between the two is severed or dead. A
// ring need not leave a strip of mesh between itself and the vein for that.
func (n *network) veinsIsolated(reached, severed []bool) []string {
	isolated := []string{}
	for o, hole := range n.left.openings {
		vein, isVein := strings.CutSuffix(string(hole.Obstacle), "-vein")
		open := false
		for _, contact := range n.left.rims[o] {
			open = open || reached[contact.to] && !severed[contact.edge]
		}
		if isVein && !open {
			isolated = append(isolated, vein)
		}
	}
	return isolated
}

func (n *network) posteriorIsolated(reached []bool) bool {
	for _, node := range n.posterior {
		if reached[node] {
			return false
		}
	}
	return true
}

// between finds, for each further pair of bridges that conduct, the shortest loop through both atria over the two. Such loops remain
// after every standard set and are no fault of a plan.
func (n *network) between(plan placed, wavelength float64, w *work) []Circuit {
	loops := []Circuit{}
	var bridges []*laidStrip
	for i := range n.strips {
		b := &n.strips[i]
		if !b.sinus && plan.reached[b.nodes[0]] && plan.reached[b.nodes[len(b.nodes)-1]] {
			bridges = append(bridges, b)
		}
	}
	w.crosses, w.nodes = sized(w.crosses, n.edges), w.nodes[:0]
	for k := 1; k < len(bridges); k++ {
		a, b := bridges[k-1], bridges[k]
		w.nodes = w.nodes[:0]
		right := n.way(a.nodes[0], b.nodes[0], plan, w)
		left := n.way(b.nodes[len(b.nodes)-1], a.nodes[len(a.nodes)-1], plan, w)
		length := a.lengthMM + b.lengthMM + right + left
		if length == infinite {
			continue
		}
		c := Circuit{Round: []Obstacle{}, Name: "through both atria, over the " + a.name + " and the " + b.name, LengthMM: roundTo(length, 1), Verdict: judge(length, wavelength)}
		for _, node := range w.nodes {
			c.Path = append(c.Path, n.site(node))
		}
		loops = append(loops, c)
	}
	return loops
}

// way appends the nodes of the shortest way through the shell between two nodes of one chamber to w.nodes and returns its length in mm,
// infinite when there is none.
func (n *network) way(from, to int32, plan placed, w *work) float64 {
	w.tree.grow(n, to, from, w.crosses, plan.shell, infinite)
	if w.tree.at[from].distance < infinite {
		w.nodes = w.tree.trail(w.nodes, from)
	}
	return w.tree.at[from].distance
}
