package atrium

import "math"

// mesh is one chamber at one size: the sphere's nodes less those that fall in an opening.
type mesh struct {
	shape
	*sphere
	tissue   []bool    // per node: not in an opening
	length   []float64 // per edge, mm
	within   []int8    // per node: index of the opening it falls in, or -1
	inOstium []bool    // per node: in the left appendage
	rims     [][]spoke // per opening: the edges from it to tissue nodes
	areaMM2  float64   // of all tissue
	doors    []int32   // a triangle in each opening, the appendage's ostium last
	standard []standard
}

func newMesh(s *sphere, form shape) *mesh {
	m := &mesh{shape: form, sphere: s, tissue: make([]bool, len(s.nodes)), within: make([]int8, len(s.nodes)), inOstium: make([]bool, len(s.nodes))}
	for i, node := range s.nodes {
		m.within[i] = -1
		for o, hole := range form.openings {
			if node.dot(hole.Centre) > math.Cos(hole.reach()) {
				m.within[i] = int8(o)
			}
		}
		m.tissue[i] = m.within[i] < 0
		m.inOstium[i] = m.tissue[i] && form.ostium.RadiusDeg > 0 && node.dot(form.ostium.Centre) > math.Cos(form.ostium.reach())
		if m.tissue[i] {
			m.areaMM2 += s.area[i] * form.radius * form.radius
		}
	}
	m.length = make([]float64, len(s.edges))
	m.rims = make([][]spoke, len(form.openings))
	for e, ends := range s.edges {
		a, b := ends[0], ends[1]
		m.length[e] = form.radius * s.nodes[a].angle(s.nodes[b])
		for _, pair := range [][2]int32{{a, b}, {b, a}} {
			if o := m.within[pair[0]]; o >= 0 && m.tissue[pair[1]] {
				m.rims[o] = append(m.rims[o], spoke{int32(e), pair[1]})
			}
		}
	}
	for _, hole := range form.openings {
		m.doors = append(m.doors, m.at(hole.Centre))
	}
	if form.ostium.RadiusDeg > 0 {
		m.doors = append(m.doors, m.at(form.ostium.Centre))
	}
	m.standard = form.standards()
	return m
}

// nearest is the tissue node closest to a direction.
func (m *mesh) nearest(at Vec) int32 {
	best, closeness := int32(-1), math.Inf(-1)
	for i, node := range m.nodes {
		if d := node.dot(at); m.tissue[i] && d > closeness {
			best, closeness = int32(i), d
		}
	}
	return best
}

// patch is the tissue nodes within an angle (radians) of a direction.
func (m *mesh) patch(at Vec, reach float64) []int32 {
	var nodes []int32
	for i, node := range m.nodes {
		if m.tissue[i] && node.dot(at) > math.Cos(reach) {
			nodes = append(nodes, int32(i))
		}
	}
	return nodes
}
