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
	for i, m := range []*mesh{n.left, n.right} {
		if plan.changed(n, i) {
			after[i] = n.wide(m, plan.reached, plan.shell, wavelength/math.Pi, w)
		}
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
	n.intactWide[wavelength] = [2]float64{n.wide(n.left, whole, shell, wavelength/math.Pi, w), n.wide(n.right, whole, shell, wavelength/math.Pi, w)}
	return n.intactWide[wavelength]
}

// wide is the share in percent of a chamber's tissue that a disc as wide as the corridor covers without touching what does not conduct:
// the discs' centres are half a width from every rim and cut, and the tissue within half a width of one counts.
func (n *network) wide(m *mesh, reached, shell []bool, width float64, w *work) float64 {
	s, offset, edges := &w.march, n.offset(m), n.edgeOffset(m)
	s.fit(n, n.size())
	s.empty()
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
	n.spreadWave(shell, width/2, w)
	w.nodes = w.nodes[:0]
	for i := range m.nodes {
		if node := offset + int32(i); m.tissue[i] && reached[node] && s.at[node].distance >= width/2 {
			w.nodes = append(w.nodes, node)
		}
	}
	s.empty()
	for _, centre := range w.nodes {
		s.offer(centre, -1, -1, 0)
	}
	n.spreadWave(shell, width/2, w)
	area := 0.0
	for i := range m.nodes {
		if m.tissue[i] && s.at[offset+int32(i)].distance <= width/2 {
			area += m.area[i] * m.radius * m.radius
		}
	}
	return roundTo(100*area/m.areaMM2, 1)
}
