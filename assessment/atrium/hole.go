package atrium

// A hole is a face of the conducting tissue that is not a single intact triangle: an opening, a lesion, tissue that no longer
// conducts, or all of these fused. The chamber without its holes is a sphere with that many discs taken out, so a closed path can run
// round each hole, and the path round the last is the sum of the others: holes - 1 independent circuits. Fusing holes is what a maze
// does: when all are one, nothing can go round anything.
type hole struct {
	obstacles []Obstacle
}

// holes finds the holes of a chamber's tissue. alive marks the nodes that conduct, severed the edges that do not. It also returns, for
// each triangle, its hole or -1 where the triangle is intact.
func (m *mesh) holes(alive, severed []bool, closedOstium bool, w *work) (found []hole, of []int32) {
	w.parent, w.holeOf = sized(w.parent, len(m.triangles)), sized(w.holeOf, len(m.triangles))
	parent, of := w.parent, w.holeOf
	for i := range parent {
		parent[i], of[i] = int32(i), -1
	}
	root := func(t int32) int32 {
		for parent[t] != t {
			parent[t] = parent[parent[t]]
			t = parent[t]
		}
		return t
	}
	const broken = -2
	for e, ends := range m.edges {
		if alive[ends[0]] && alive[ends[1]] && !severed[e] {
			continue
		}
		a, b := m.facing[e][0], m.facing[e][1]
		of[a], of[b] = broken, broken
		parent[root(a)] = root(b)
	}
	w.number = sized(w.number, len(m.triangles)) // by root: the hole's number, +1
	for t := range m.triangles {
		if of[t] != broken {
			continue
		}
		r := root(int32(t))
		if w.number[r] == 0 {
			found = append(found, hole{})
			w.number[r] = int32(len(found))
		}
		of[t] = w.number[r] - 1
	}
	name := func(door int32, o Opening) {
		if h := of[door]; h >= 0 {
			found[h].obstacles = append(found[h].obstacles, o.Obstacle)
		}
	}
	for i, o := range m.openings {
		name(m.doors[i], o)
	}
	if closedOstium {
		name(m.doors[len(m.openings)], m.ostium)
	}
	return found, of
}

// at is a triangle at a direction: one of those round the node nearest to it, tissue or not.
func (m *mesh) at(direction Vec) int32 {
	best, closeness := int32(0), -2.0
	for i, node := range m.nodes {
		if d := node.dot(direction); d > closeness {
			best, closeness = int32(i), d
		}
	}
	return m.facing[m.star[m.from[best]].edge][0]
}

// across is the triangle on the other side of an edge.
func (m *mesh) across(edge, triangle int32) int32 {
	if m.facing[edge][0] == triangle {
		return m.facing[edge][1]
	}
	return m.facing[edge][0]
}
