package atrium

// Hazard is how near a lesion runs to what it must not harm: a node of the conduction system or a neighbour outside the wall. It is a
// distance, not a verdict: how near is too near depends on the energy, and has no published figure that this package knows.
type Hazard struct {
	Lesion     int     `json:"lesion"`    // index in the set
	Structure  string  `json:"structure"` // sinus-node, av-node, or the id of a Neighbour
	DistanceMM float64 `json:"distance_mm"`
	At         Vec     `json:"at"` // the point of the lesion that comes nearest
}

// hazards measures every lesion, in the order of the set and as it was joined, against the nodes and then the neighbours of its chamber.
func (n *network) hazards(drawn []DrawnLesion) []Hazard {
	list := []Hazard{}
	for i, l := range drawn {
		line := cut{path: make([]Vec, len(l.Path)), closed: l.Closed}
		for k, p := range l.Path {
			line.path[k] = p.unit()
		}
		m := n.left
		if l.Chamber == RightAtrium {
			m = n.right
			for _, site := range Sites() {
				near := nearestLesion(site.At.unit(), []cut{line})
				list = append(list, Hazard{i, site.ID, roundTo(near.angle*m.radius, 1), near.at.round()})
			}
		}
		for _, neighbour := range neighbours {
			if neighbour.Chamber == l.Chamber {
				near := line.nearestTo(cut{path: neighbour.course(m.shape)})
				list = append(list, Hazard{i, neighbour.ID, roundTo(near.angle*m.radius, 1), near.at.round()})
			}
		}
	}
	return list
}

// nearestTo is the place on a line that comes nearest to another line: where they cross, or next to a point of either.
func (c cut) nearestTo(other cut) place {
	best := place{angle: infinite}
	for _, p := range c.path {
		if near := nearestLesion(p, []cut{other}); near.angle < best.angle {
			best = place{at: p, angle: near.angle}
		}
	}
	for _, p := range other.path {
		if near := nearestLesion(p, []cut{c}); near.angle < best.angle {
			best = near
		}
	}
	c.arcs(func(a, b Vec) {
		other.arcs(func(p, q Vec) {
			if cross(a, b, p, q) {
				best = place{at: crossing(a, b, p, q)}
			}
		})
	})
	return best
}
