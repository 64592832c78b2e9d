package atrium

import "math"

// Economy compares the length of a set's lesions with the shortest network of lines that fuses the same obstacles. An isolating ring does
// more than fuse, so a good set is several times as long as that network; the figure serves to compare sets of one scope.
type Economy struct {
	TotalMM    float64  `json:"total_mm"`    // over tissue, as joined
	ShortestMM float64  `json:"shortest_mm"` // minimum spanning trees on the sphere, one for each group of fused obstacles
	Ratio      *float64 `json:"ratio"`       // total to shortest; null when nothing is fused
}

// economy measures the lines drawn and the holes they left.
func (n *network) economy(drawn []DrawnLesion, closedOstium bool, left, right *tissue) Economy {
	e := Economy{}
	for _, l := range drawn {
		m := n.left
		if l.Chamber == RightAtrium {
			m = n.right
		}
		e.TotalMM += m.overTissue(cut{path: l.Path, closed: l.Closed}, closedOstium)
	}
	for _, t := range []*tissue{left, right} {
		for _, h := range t.holes {
			e.ShortestMM += t.mesh.spanningTree(h.obstacles)
		}
	}
	e.TotalMM, e.ShortestMM = roundTo(e.TotalMM, 1), roundTo(e.ShortestMM, 1)
	if e.ShortestMM > 0 {
		ratio := roundTo(e.TotalMM/e.ShortestMM, 2)
		e.Ratio = &ratio
	}
	return e
}

// overTissue is the length in mm of a line less what lies in openings, measured in steps of about half a millimetre.
func (m *mesh) overTissue(line cut, closedOstium bool) float64 {
	const stepMM = 0.5
	holes := m.obstacles(closedOstium)
	within := make([]float64, len(holes))
	for i, hole := range holes {
		within[i] = math.Cos(hole.reach())
	}
	total := 0.0
	line.arcs(func(a, b Vec) {
		angle := a.angle(b)
		if angle < 1e-9 {
			return
		}
		steps := max(1, int(math.Ceil(angle*m.radius/stepMM)))
		for k := range steps {
			at, inside := towards(a, b, angle*(float64(k)+0.5)/float64(steps)), false
			for i, hole := range holes {
				inside = inside || at.dot(hole.Centre) > within[i]
			}
			if !inside {
				total += angle * m.radius / float64(steps)
			}
		}
	})
	return total
}

// spanningTree is the length in mm of the shortest lines from rim to rim that join obstacles to one another (Prim's method).
func (m *mesh) spanningTree(obstacles []Obstacle) float64 {
	total := 0.0
	apart := make([]float64, len(obstacles)) // from the tree
	for i := range apart {
		apart[i] = infinite
	}
	for joined := range obstacles {
		next := -1
		for i, d := range apart {
			if d >= 0 && (next < 0 || d < apart[next]) {
				next = i
			}
		}
		if joined > 0 {
			total += apart[next]
		}
		apart[next] = -1 // in the tree
		from := m.find(obstacles[next])
		for i := range apart {
			if to := m.find(obstacles[i]); apart[i] >= 0 {
				rims := from.Centre.angle(to.Centre) - from.reach() - to.reach()
				apart[i] = min(apart[i], max(0, rims)*m.radius)
			}
		}
	}
	return total
}
