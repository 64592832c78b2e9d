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

// crosses reports whether two paths cross.
func (c cut) crosses(other cut) bool {
	found := false
	c.arcs(func(a, b Vec) {
		other.arcs(func(p, q Vec) { found = found || cross(a, b, p, q) })
	})
	return found
}

// parts reports whether a closed path parts two points: whether the arc between them crosses it an odd number of times.
func (c cut) parts(p, q Vec) bool {
	odd := false
	if p.dot(q) < -0.999 { // the arc between opposite points is not defined: go round by another
		by := p.cross(Vec{0.3, 0.7, 0.65}).unit()
		return c.parts(p, by) != c.parts(by, q)
	}
	c.arcs(func(a, b Vec) { odd = odd != cross(p, q, a, b) })
	return odd
}

// cap is a round patch that holds the whole path.
func (c cut) cap() Opening {
	var sum Vec
	for _, p := range c.path {
		sum = sum.plus(p)
	}
	if sum.length() < 1e-6 {
		return Opening{Centre: Vec{0, 0, 1}, RadiusDeg: 180}
	}
	patch, reach := Opening{Centre: sum.unit()}, 0.0
	c.arcs(func(a, b Vec) { reach = max(reach, patch.Centre.angle(a)+a.angle(b)) })
	patch.RadiusDeg = min(180, reach*180/math.Pi)
	return patch
}

// between is the part of a line from one place on it to another.
func (c cut) between(from, to touch) cut {
	part, run := cut{lesion: c.lesion, path: []Vec{from.at}}, 0.0
	for i := 1; i < len(c.path); i++ {
		run += c.path[i-1].angle(c.path[i])
		if run > from.along && run < to.along {
			part.path = append(part.path, c.path[i])
		}
	}
	part.path = append(part.path, to.at)
	return part
}
