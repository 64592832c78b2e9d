package atrium

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestCross: the equator and meridians, where the answer needs no arithmetic.
func TestCross(t *testing.T) {
	south, north := Vec{1, 0, -0.5}.unit(), Vec{1, 0, 0.5}.unit()
	for _, c := range []struct {
		name       string
		a, b, p, q Vec
		want       bool
	}{
		{"a meridian over the equator", Vec{1, -1, 0}.unit(), Vec{1, 1, 0}.unit(), south, north, true},
		{"the same, the other way round", Vec{1, 1, 0}.unit(), Vec{1, -1, 0}.unit(), north, south, true},
		{"beside its end", Vec{1, 0.1, 0}.unit(), Vec{1, 1, 0}.unit(), south, north, false},
		{"on the far side of the sphere", Vec{-1, -1, 0}.unit(), Vec{-1, 1, 0}.unit(), south, north, false},
		{"short of it", Vec{1, -1, 0}.unit(), Vec{1, 1, 0}.unit(), Vec{1, 0, 0.2}.unit(), north, false},
	} {
		if got := cross(c.a, c.b, c.p, c.q); got != c.want {
			t.Errorf("%s: cross = %v, want %v", c.name, got, c.want)
		}
	}
}

// TestLongArc: an arc of nearly half a circle cuts what its two halves cut, and nothing beyond its ends.
func TestLongArc(t *testing.T) {
	m := coarse.network(LesionSet{}).left
	rapid.Check(t, func(t *rapid.T) {
		a := anyVec(t, "a")
		heading := a.cross(anyVec(t, "heading").plus(Vec{0.011, 0.013, 0.017})).unit()
		long := math.Pi - rapid.Float64Range(0.0101, 0.4).Draw(t, "short of half a circle by")
		whole, halves := make([]bool, len(m.edges)), make([]bool, len(m.edges))
		m.sever(cut{path: []Vec{a, towards(a, heading, long)}}, whole)
		m.sever(cut{path: []Vec{a, towards(a, heading, long/2), towards(a, heading, long)}}, halves)
		differing := 0
		for e := range whole {
			if whole[e] != halves[e] {
				differing++
			}
		}
		if differing > 1 { // the halves' common end may lie a rounding error off the arc, on the other side of one edge's line
			t.Fatalf("%d edges are cut by the arc or by its halves, but not by both", differing)
		}
	})
}

// TestRingHolds: a closed ring lets nothing through, however much thinner it is than the mesh, and keeps what lies well on its side.
func TestRingHolds(t *testing.T) {
	s := coarse.sphere
	m := &mesh{shape: shape{radius: 25}, sphere: s, length: make([]float64, len(s.edges))}
	for e, ends := range s.edges {
		m.length[e] = 25 * s.nodes[ends[0]].angle(s.nodes[ends[1]])
	}
	rapid.Check(t, func(t *rapid.T) {
		centre, radius := anyVec(t, "centre"), rapid.Float64Range(0.2, 2).Draw(t, "radius")
		side := centre.cross(Vec{0.3, 0.7, 0.1}).unit()
		var ring []Vec
		for k := range 90 {
			phi := 2 * math.Pi * float64(k) / 90
			heading := side.times(math.Cos(phi)).plus(centre.cross(side).times(math.Sin(phi)))
			ring = append(ring, towards(centre, heading, radius))
		}
		checkHolds(t, m, centre, radius, 0.01, ring)
	})
}

// TestRingThroughNodes: the same where every point of the ring is a node of the mesh and its arcs run along edges, the worst place.
func TestRingThroughNodes(t *testing.T) {
	m := coarse.network(LesionSet{}).left
	for _, centre := range []int32{100, 500, 900} {
		around := map[int32]int32{} // the ring of neighbours, in order: each triangle round the node adds one step
		var first int32
		for _, corners := range m.triangles {
			for k := range 3 {
				if corners[k] == centre {
					around[corners[(k+1)%3]] = corners[(k+2)%3]
					first = corners[(k+1)%3]
				}
			}
		}
		ring := []Vec{m.nodes[first]}
		for node := around[first]; node != first; node = around[node] {
			ring = append(ring, m.nodes[node])
		}
		severed := make([]bool, len(m.edges))
		m.sever(cut{path: nudge(ring), closed: true}, severed)
		inside := countConnected(m, centre, severed)
		if inside > len(ring)+1 {
			t.Errorf("from node %d the ring of its neighbours lets %d nodes through", centre, inside)
		}
	}
}

// countConnected counts the nodes connected to one over edges that are not severed.
func countConnected(m *mesh, from int32, severed []bool) int {
	count := 0
	for _, reached := range connected(m, from, severed) {
		if reached {
			count++
		}
	}
	return count
}

func connected(m *mesh, from int32, severed []bool) []bool {
	seen := make([]bool, len(m.nodes))
	seen[from] = true
	queue := []int32{from}
	for k := 0; k < len(queue); k++ {
		for _, spoke := range m.star[m.from[queue[k]]:m.from[queue[k]+1]] {
			if !severed[spoke.edge] && !seen[spoke.to] {
				seen[spoke.to] = true
				queue = append(queue, spoke.to)
			}
		}
	}
	return seen
}

// checkHolds floods from the node nearest to the ring's centre. Nodes within slack (radians) of the ring may fall on either side.
func checkHolds(t *rapid.T, m *mesh, centre Vec, radius, slack float64, ring []Vec) {
	severed := make([]bool, len(m.edges))
	m.sever(cut{path: nudge(ring), closed: true}, severed)
	start, closeness := int32(0), -2.0
	for i, node := range m.nodes {
		if d := node.dot(centre); d > closeness {
			start, closeness = int32(i), d
		}
	}
	for i, reached := range connected(m, start, severed) {
		switch angle := m.nodes[i].angle(centre); {
		case reached && angle > radius+slack:
			t.Fatalf("node %d leaks: %.3f from the centre of a ring of radius %.3f", i, angle, radius)
		case !reached && angle < radius-slack-0.12: // a node whose every edge the ring cuts is alone; those lie within an edge of it
			t.Fatalf("node %d is lost: %.3f from the centre of a ring of radius %.3f", i, angle, radius)
		}
	}
}
