package atrium

// Hazard is how near a lesion of the right atrium runs to a node of the conduction system. It is a distance, not a verdict: how near is
// too near has no published figure that this package knows.
type Hazard struct {
	Lesion     int     `json:"lesion"`    // index in the set
	Structure  string  `json:"structure"` // sinus-node, av-node
	DistanceMM float64 `json:"distance_mm"`
}

// hazards measures every right atrial lesion, in the order of the set, as it was joined.
func (n *network) hazards(drawn []DrawnLesion) []Hazard {
	list := []Hazard{}
	for i, l := range drawn {
		if l.Chamber != RightAtrium {
			continue
		}
		line := cut{path: l.Path, closed: l.Closed}
		for _, site := range Sites() {
			near := nearestLesion(site.At.unit(), []cut{line})
			list = append(list, Hazard{i, site.ID, roundTo(near.angle*n.right.radius, 1)})
		}
	}
	return list
}
