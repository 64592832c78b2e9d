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

// veinsIsolated lists the veins that no tissue reached from the sinus node borders on.
func (n *network) veinsIsolated(reached []bool) []string {
	isolated := []string{}
	for o, hole := range n.left.openings {
		vein, isVein := strings.CutSuffix(string(hole.Obstacle), "-vein")
		open := false
		for _, node := range n.left.rims[o] {
			open = open || reached[node]
		}
		if isVein && !open {
			isolated = append(isolated, vein)
		}
	}
	return isolated
}

func (n *network) posteriorIsolated(reached []bool) bool {
	for _, node := range n.left.patch(posteriorWall.unit(), posteriorPatchRad) {
		if reached[node] {
			return false
		}
	}
	return true
}

// between finds, for each further pair of bridges that conduct, the shortest loop through both atria over the two. Such loops remain
// after every standard set and are no fault of a plan.
func (n *network) between(plan placed, wavelength float64, s *search) []Circuit {
	loops := []Circuit{}
	reached := n.flood(n.sinus, plan.severed, plan.lost)
	crosses := make([]uint64, n.edges)
	var bridges []*laidStrip
	for i := range n.strips {
		b := &n.strips[i]
		if !b.sinus && reached[b.nodes[0]] && reached[b.nodes[len(b.nodes)-1]] {
			bridges = append(bridges, b)
		}
	}
	for k := 1; k < len(bridges); k++ {
		a, b := bridges[k-1], bridges[k]
		right := n.way(a.nodes[0], b.nodes[0], RightAtrium, plan, crosses, s)
		left := n.way(b.nodes[len(b.nodes)-1], a.nodes[len(a.nodes)-1], LeftAtrium, plan, crosses, s)
		if right == nil || left == nil {
			continue
		}
		length := a.lengthMM + b.lengthMM + right.length + left.length
		c := Circuit{Round: []Obstacle{}, Name: "through both atria, over the " + a.name + " and the " + b.name, LengthMM: roundTo(length, 1), Verdict: judge(length, wavelength)}
		for _, node := range append(right.nodes, left.nodes...) {
			c.Path = append(c.Path, n.site(node))
		}
		loops = append(loops, c)
	}
	return loops
}

// route is a shortest way through one chamber.
type route struct {
	nodes  []int32
	length float64
}

func (n *network) way(from, to int32, chamber Chamber, plan placed, crosses []uint64, s *search) *route {
	offset := int32(len(n.left.nodes))
	gone := make([]bool, n.size())
	for i := range gone {
		inLeft := int32(i) < offset
		gone[i] = plan.lost[i] || inLeft != (chamber == LeftAtrium) || i >= len(n.left.nodes)+len(n.right.nodes)
	}
	s.grow(n, to, crosses, plan.severed, gone)
	if s.distance[from] == infinite {
		return nil
	}
	r := &route{length: s.distance[from]}
	for node := from; node >= 0; node = s.before[node] {
		r.nodes = append(r.nodes, node)
	}
	return r
}
