package atrium

import "math"

// A cut is a lesion's path as great-circle arcs on one chamber.
type cut struct {
	lesion int // index in the set
	path   []Vec
	closed bool
}

// arcs calls each with the ends of every arc of the path.
func (c cut) arcs(each func(a, b Vec)) {
	for i := 1; i < len(c.path); i++ {
		each(c.path[i-1], c.path[i])
	}
	if c.closed && len(c.path) > 2 {
		each(c.path[len(c.path)-1], c.path[0])
	}
}

// nudge moves every point of a path by a fixed tiny rotation (some 25 nanometres), so that no arc runs exactly through a node of the
// icosahedron's symmetric mesh.
func nudge(path []Vec) []Vec {
	moved := make([]Vec, len(path))
	for i, p := range path {
		u := p.unit()
		moved[i] = u.plus(Vec{0.31, 0.47, 0.83}.cross(u).times(1e-6)).unit()
	}
	return moved
}

// cross reports whether two great-circle arcs, each shorter than half a circle, cross: the ends of each lie on different sides of the
// other's great circle. Two such circles meet at opposite points of the sphere; the four signs also agree on which of the two it is.
func cross(a, b, p, q Vec) bool {
	above := a.cross(b).dot(p) >= 0
	if above == (a.cross(b).dot(q) >= 0) {
		return false
	}
	plane := p.cross(q)
	return (plane.dot(b) >= 0) == above && (plane.dot(a) >= 0) != above
}

// sever marks every mesh edge that crosses the path: signs of triple products, no projection, no pixels. A connected path separates
// the mesh exactly where it separates the surface, however thin it is.
func (m *mesh) sever(c cut, severed []bool) {
	longest := 0.0
	for _, l := range m.length[:3] {
		longest = math.Max(longest, l/m.radius)
	}
	longest *= 1.5 // edges of an icosphere differ by less than that
	c.arcs(func(a, b Vec) {
		normal := a.cross(b)
		if normal.dot(normal) < 1e-24 {
			return
		}
		middle := a.plus(b).unit()
		reach := middle.angle(a) + longest
		near, nearPatch := math.Cos(math.Min(math.Pi, reach)), math.Cos(math.Min(math.Pi, reach+m.patchRad))
		for _, patch := range m.patches {
			if patch.centre.dot(middle) < nearPatch-1e-9 {
				continue
			}
			for _, i := range patch.nodes {
				if p := m.nodes[i]; p.dot(middle) >= near {
					m.severFrom(i, p, a, b, normal, severed)
				}
			}
		}
	})
}

// severFrom marks the edges leaving node i, at p, that cross the arc ab.
func (m *mesh) severFrom(i int32, p, a, b, normal Vec, severed []bool) {
	side := normal.dot(p) >= 0
	for _, spoke := range m.star[m.from[i]:m.from[i+1]] {
		if spoke.to < i || severed[spoke.edge] {
			continue
		}
		q := m.nodes[spoke.to]
		if side != (normal.dot(q) >= 0) && cross(a, b, p, q) {
			severed[spoke.edge] = true
		}
	}
}
