package atrium

// A hole is a face of the conducting tissue that is not a single intact triangle: an opening, a lesion, tissue that no longer
// conducts, or all of these fused. The chamber without its holes is a sphere with that many discs taken out, so a closed path can run
// round each hole, and the path round the last is the sum of the others: holes - 1 independent circuits. Fusing holes is what a maze
// does: when all are one, nothing can go round anything.
type hole struct {
	obstacles []Obstacle
	triangle  int32 // one triangle of it, where a path to it can start
}

// holes finds the holes of a chamber's tissue. alive marks the nodes that conduct, severed the edges that do not. It also returns, for
// each triangle, its hole or -1 where the triangle is intact.
func (m *mesh) holes(alive, severed []bool, closedOstium bool) (found []hole, of []int32) {
	parent := make([]int32, len(m.triangles))
	for i := range parent {
		parent[i] = int32(i)
	}
	root := func(t int32) int32 {
		for parent[t] != t {
			parent[t] = parent[parent[t]]
			t = parent[t]
		}
		return t
	}
	broken := make([]bool, len(m.triangles))
	for e, ends := range m.edges {
		if alive[ends[0]] && alive[ends[1]] && !severed[e] {
			continue
		}
		a, b := m.facing[e][0], m.facing[e][1]
		broken[a], broken[b] = true, true
		parent[root(a)] = root(b)
	}
	of = make([]int32, len(m.triangles))
	number := map[int32]int32{}
	for t := range m.triangles {
		of[t] = -1
		if !broken[t] {
			continue
		}
		r := root(int32(t))
		if _, ok := number[r]; !ok {
			number[r] = int32(len(found))
			found = append(found, hole{triangle: int32(t)})
		}
		of[t] = number[r]
	}
	name := func(o Opening) {
		if h := of[m.at(o.Centre)]; h >= 0 {
			found[h].obstacles = append(found[h].obstacles, o.Obstacle)
		}
	}
	for _, o := range m.openings {
		name(o)
	}
	if closedOstium {
		name(m.ostium)
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

// arcTo returns the edges crossed by a path over triangles from one hole to another: a closed walk in the tissue parts the two holes
// exactly when it crosses an odd number of them. It is found breadth first, so it crosses few.
func (m *mesh) arcTo(from, to int32, of []int32, alive, severed []bool) []int32 {
	came := make([]int32, len(m.triangles)) // edge by which a triangle was entered, +1
	var queue []int32
	for t := range m.triangles {
		if of[t] == from {
			came[t] = -1
			queue = append(queue, int32(t))
		}
	}
	for head := 0; head < len(queue); head++ {
		t := queue[head]
		if of[t] == to {
			var crossed []int32
			for came[t] > 0 {
				e := came[t] - 1
				if ends := m.edges[e]; alive[ends[0]] && alive[ends[1]] && !severed[e] {
					crossed = append(crossed, e)
				}
				t = m.across(e, t)
			}
			return crossed
		}
		for _, e := range m.sides[t] {
			if next := m.across(e, t); came[next] == 0 {
				came[next] = e + 1
				queue = append(queue, next)
			}
		}
	}
	return nil
}

// across is the triangle on the other side of an edge.
func (m *mesh) across(edge, triangle int32) int32 {
	if m.facing[edge][0] == triangle {
		return m.facing[edge][1]
	}
	return m.facing[edge][0]
}
