package atrium

import "math"

// march runs the wave from the sinus node over both chambers and leaves each node's distance along the wave's way, in mm, in w.march.
//
// Going from node to node along edges would overestimate ways by several percent, so the wave crosses triangles (fast marching on a
// triangulated surface, Kimmel and Sethian 1998, PNAS; from memory): where two corners are reached, the place from which a circular
// wave would reach them when it does is found in the triangle's plane, and the third corner's distance is taken from there, if the
// straight way passes between the two. In a triangle with a cut edge the wave keeps to the edges, so that it never crosses a cut.
// A node may improve after it was passed on, in obtuse triangles and within a bucket; it is then passed on again.
func (n *network) march(start int32, shut []bool, w *work) {
	s := &w.march
	s.fit(n, n.size())
	s.begin(start)
	n.spreadWave(shut, infinite, w)
}

// spreadWave runs the wave from whatever is queued in w.march, some way past a limit in mm.
func (n *network) spreadWave(shut []bool, limit float64, w *work) {
	s := &w.march
	for node := s.pop(); node >= 0; node = s.pop() {
		if s.at[node].distance > limit+2*s.width {
			return
		}
		for _, l := range n.links[n.from[node]:n.from[node+1]] {
			if shut[l.edge] {
				continue
			}
			far := s.at[node].distance + l.length
			if known := s.at[l.to].distance; far > known+l.length {
				continue // it lies behind the wave
			}
			far = n.overTriangles(node, l, far, shut, s)
			if far < s.at[l.to].distance-1e-9 {
				s.done[l.to] = false
				s.offer(l.to, node, l.edge, far)
			}
		}
	}
}

// overTriangles is how far the end of a link is over the two triangles at it, or far along the link itself.
func (n *network) overTriangles(node int32, l link, far float64, shut []bool, s *search) float64 {
	m := n.left
	if l.edge >= int32(len(n.left.edges)) {
		m = n.right
	}
	nodes, edges := n.offset(m), n.edgeOffset(m)
	if int(l.edge-edges) >= len(m.edges) {
		return far // a strip
	}
	for _, f := range m.flanks[l.edge-edges] {
		opposite, beside := f.sides[0], f.sides[1] // the edges from the third corner to the link's end and to its start
		if m.edges[l.edge-edges][0] != l.to-nodes {
			opposite, beside = beside, opposite
		}
		reached := s.at[f.corner+nodes].distance
		if reached == infinite || shut[opposite+edges] || shut[beside+edges] {
			continue
		}
		far = min(far, through(s.at[node].distance, reached, l.length, m.length[opposite], m.length[beside]))
	}
	return far
}

// through is the distance at corner C of a triangle from those at A and B; infinite where the way to C does not pass between A and B.
func through(atA, atB, ac, bc, ab float64) float64 {
	x := (ac*ac + ab*ab - bc*bc) / (2 * ab) // C, with A at the origin and B on the axis
	y := math.Sqrt(max(0, ac*ac-x*x))
	sourceX := (atA*atA + ab*ab - atB*atB) / (2 * ab)
	below := atA*atA - sourceX*sourceX
	if below < 0 {
		return infinite // the two were reached round a corner
	}
	sourceY := math.Sqrt(below)
	passes := sourceX + (x-sourceX)*sourceY/(sourceY+y)
	if !(passes >= 0 && passes <= ab) {
		return infinite
	}
	return math.Sqrt((x-sourceX)*(x-sourceX) + (y+sourceY)*(y+sourceY))
}
