package atrium

import "math"

// Substrate is the share in percent of a chamber's tissue that is connected to the sinus node and lies in corridors wider than the
// wavelength / pi, where a wave has room to turn; before is that of the same atria without lesions. It says nothing on outcome.
type Substrate struct {
	LeftPercent        float64 `json:"left_percent"`
	RightPercent       float64 `json:"right_percent"`
	LeftBeforePercent  float64 `json:"left_before_percent"`
	RightBeforePercent float64 `json:"right_before_percent"`
}

// substrate measures the tissue of a set and, once for each network and wavelength, of intact atria.
func (n *network) substrate(plan placed, wavelength float64, w *work) Substrate {
	before := n.intactSubstrate(wavelength, w)
	after := before
	if plan.touched[0] || plan.touched[1] {
		after = n.wide(plan.reached, plan.shell, wavelength/math.Pi, w)
	}
	return Substrate{after[0], after[1], before[0], before[1]}
}

// intactSubstrate keeps a few wavelengths' answers.
func (n *network) intactSubstrate(wavelength float64, w *work) [2]float64 {
	const kept = 16
	n.substrateMu.Lock()
	defer n.substrateMu.Unlock()
	if known, ok := n.intactWide[wavelength]; ok {
		return known
	}
	whole, shell := make([]bool, n.size()), make([]bool, n.edges)
	for i := range whole {
		whole[i] = true
	}
	for e := len(n.left.edges) + len(n.right.edges); e < n.edges; e++ {
		shell[e] = true
	}
	if n.intactWide == nil || len(n.intactWide) >= kept {
		n.intactWide = map[float64][2]float64{}
	}
	n.intactWide[wavelength] = n.wide(whole, shell, wavelength/math.Pi, w)
	return n.intactWide[wavelength]
}

// wide is the share in percent of each chamber's tissue, left first, that a disc as wide as the corridor covers without touching what
// does not conduct: the discs' centres are half a width from every rim and cut, and the tissue within half a width of one counts.
func (n *network) wide(reached, shell []bool, width float64, w *work) [2]float64 {
	chambers := [2]*mesh{n.left, n.right}
	s := &w.march
	s.fit(n, n.size())
	s.empty()
	for _, m := range chambers {
		offset, edges := n.offset(m), n.edgeOffset(m)
		for i := range m.nodes {
			if !m.tissue[i] || !reached[offset+int32(i)] {
				continue
			}
			for _, spoke := range m.star[m.from[i]:m.from[i+1]] {
				if !m.tissue[spoke.to] || !reached[offset+spoke.to] || shell[edges+spoke.edge] {
					s.offer(offset+int32(i), -1, -1, m.length[spoke.edge]/2) // a rim or cut lies half way along, on average
				}
			}
		}
	}
	n.spreadWave(shell, width/2, w)
	w.nodes = w.nodes[:0]
	for _, m := range chambers {
		for i := range m.nodes {
			if node := n.offset(m) + int32(i); m.tissue[i] && reached[node] && s.at[node].distance >= width/2 {
				w.nodes = append(w.nodes, node)
			}
		}
	}
	s.empty()
	for _, centre := range w.nodes {
		s.offer(centre, -1, -1, 0)
	}
	n.spreadWave(shell, width/2, w)
	share := [2]float64{}
	for k, m := range chambers {
		area := 0.0
		for i := range m.nodes {
			if m.tissue[i] && s.at[n.offset(m)+int32(i)].distance <= width/2 {
				area += m.area[i] * m.radius * m.radius
			}
		}
		share[k] = roundTo(100*area/m.areaMM2, 1)
	}
	return share
}
