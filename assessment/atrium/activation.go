package atrium

// Activation is how a beat from the sinus node spreads. Numbers are absent (null) for a chamber or node that it does not reach.
type Activation struct {
	LeftAtrium  ChamberActivation `json:"left_atrium"`
	RightAtrium ChamberActivation `json:"right_atrium"`
	AVNodeMS    *float64          `json:"av_node_ms"`
	// VelocityMPerS is the conduction velocity the times were computed with.
	VelocityMPerS float64 `json:"velocity_m_s"`
	DelayMS       Delay   `json:"delay_ms"`
}

// ChamberActivation is how a beat spreads in one chamber. Times are counted from the sinus node.
type ChamberActivation struct {
	LatestMS           *float64 `json:"latest_ms"`
	LatestAt           *Site    `json:"latest_at"`
	AreaReachedPercent float64  `json:"area_reached_percent"` // of the chamber's tissue
}

// Delay is how much later in ms the last place still reached in a chamber is activated than the last of the same places in intact
// atria of the same size. It is never negative: cuts only lengthen ways.
type Delay struct {
	LeftAtrium  *float64 `json:"left_atrium"`
	RightAtrium *float64 `json:"right_atrium"`
}

// sinusVelocityMPerS is the conduction velocity in sinus rhythm where a set gives none: the median of 412 patients, 90.0 cm/s (van Schie
// 2021, Europace). The bridges conduct alike: 88 +/- 11 cm/s was measured in Bachmann's bundle against 92 +/- 6 in the atria (Heida
// 2021, 10.3390/jcm10122614), less apart than either spreads.
const sinusVelocityMPerS = 0.90

func (set LesionSet) sinusVelocity() float64 {
	if set.ConductionVelocityMPerS > 0 {
		return set.ConductionVelocityMPerS
	}
	return sinusVelocityMPerS
}

// activation runs a beat over the laid-out set.
func (n *network) activation(plan placed, velocity float64, w *work) Activation {
	n.intactMarch.Do(func() {
		n.march(n.sinus, make([]bool, n.edges), w)
		n.intactMM = make([]float64, n.size())
		for i := range n.intactMM {
			n.intactMM[i] = w.march.at[i].distance
		}
	})
	n.march(n.sinus, plan.shut, w)
	a := Activation{VelocityMPerS: velocity}
	a.LeftAtrium, a.DelayMS.LeftAtrium = n.chamberActivation(n.left, velocity, w)
	a.RightAtrium, a.DelayMS.RightAtrium = n.chamberActivation(n.right, velocity, w)
	if far := w.march.at[n.av].distance; far < infinite {
		a.AVNodeMS = milliseconds(far, velocity)
	}
	return a
}

// milliseconds is the time a wave takes for a way in mm at a velocity in m/s.
func milliseconds(mm, velocity float64) *float64 {
	ms := roundTo(mm/velocity, 1)
	return &ms
}

func (n *network) chamberActivation(m *mesh, velocity float64, w *work) (a ChamberActivation, delay *float64) {
	offset := int(n.offset(m))
	latest, farthest, intact, area := -1, 0.0, 0.0, 0.0
	for i := range m.nodes {
		far := w.march.at[offset+i].distance
		if !m.tissue[i] || far == infinite {
			continue
		}
		area += m.area[i] * m.radius * m.radius
		intact = max(intact, n.intactMM[offset+i])
		if latest < 0 || far > farthest {
			latest, farthest = i, far
		}
	}
	a.AreaReachedPercent = roundTo(100*area/m.areaMM2, 1)
	if latest < 0 {
		return a, nil
	}
	a.LatestMS, a.LatestAt = milliseconds(farthest, velocity), &Site{m.chamber, m.nodes[latest].round()}
	return a, milliseconds(max(0, farthest-intact), velocity)
}

// Isochrones are the activation times of one chamber's tissue, for drawing lines of equal time.
type Isochrones struct {
	Chamber   Chamber    `json:"chamber"`
	Nodes     []Vec      `json:"nodes"`     // unit directions, rounded
	Triangles [][3]int32 `json:"triangles"` // of nodes; only those that no lesion crosses
	TimesMS   []float64  `json:"times_ms"`  // per node; -1 where the beat does not arrive
}

// Activation gives the activation time of every node of both chambers, left first. The error is strict.Faults for an invalid set.
func (m *Model) Activation(set LesionSet) ([]Isochrones, error) {
	if err := set.Validate().Err(); err != nil {
		return nil, err
	}
	n, w := m.network(set), m.memory()
	defer m.scratch.Put(w)
	plan := n.place(set, set.closesAppendage(), w)
	n.march(n.sinus, plan.shut, w)
	maps := make([]Isochrones, 0, 2)
	for _, chamber := range []*mesh{n.left, n.right} {
		maps = append(maps, n.isochrones(chamber, plan.shut, set.sinusVelocity(), w))
	}
	return maps, nil
}

func (n *network) isochrones(m *mesh, shut []bool, velocity float64, w *work) Isochrones {
	out := Isochrones{Chamber: m.chamber, Nodes: []Vec{}, Triangles: [][3]int32{}, TimesMS: []float64{}}
	number := make([]int32, len(m.nodes))
	for i, node := range m.nodes {
		if !m.tissue[i] {
			continue
		}
		number[i] = int32(len(out.Nodes))
		out.Nodes = append(out.Nodes, node.round())
		ms := -1.0
		if far := w.march.at[int(n.offset(m))+i].distance; far < infinite {
			ms = roundTo(far/velocity, 1)
		}
		out.TimesMS = append(out.TimesMS, ms)
	}
	for t, corners := range m.triangles {
		whole := true
		for k := range 3 {
			whole = whole && m.tissue[corners[k]] && !shut[n.edgeOffset(m)+m.sides[t][k]]
		}
		if whole {
			out.Triangles = append(out.Triangles, [3]int32{number[corners[0]], number[corners[1]], number[corners[2]]})
		}
	}
	return out
}
