package atrium

import (
	"cmp"
	"math"
	"slices"
	"strings"
)

// posteriorWall is a patch in the middle of the four veins; the wall is isolated when none of it is reached.
var posteriorWall = Vec{0, 0.17, 0.98}

const posteriorPatchRad = 0.12

// islands finds the pieces of a chamber's tissue that the sinus node no longer reaches. alive marks nodes reached, lost those of a
// closed appendage.
func (m *mesh) islands(alive, lost, severed []bool) []Island {
	of := make([]int32, len(m.nodes))
	var list []Island
	for i := range m.nodes {
		if !m.tissue[i] || alive[i] || of[i] != 0 {
			continue
		}
		number := int32(len(list) + 1)
		members := m.piece(int32(i), number, of, alive, lost, severed)
		list = append(list, m.island(members, number, of, lost[i]))
	}
	list = merge(list)
	slices.SortStableFunc(list, func(a, b Island) int {
		return cmp.Or(cmp.Compare(b.AreaCM2, a.AreaCM2), strings.Compare(a.Name, b.Name))
	})
	return list
}

// sliverCM2 is the largest piece that is not told as an unwanted island: a disc of the joining distance. Lines that cross enclose such
// slivers, and which of them hold a node of the mesh is chance.
const sliverCM2 = math.Pi * joinMM * joinMM / 100

// merge takes together the wanted islands of one name, which lesions crossing them have divided, and drops slivers.
func merge(pieces []Island) []Island {
	var list []Island
	for _, p := range pieces {
		same := slices.IndexFunc(list, func(i Island) bool { return i.Name == p.Name && i.Wanted && p.Wanted })
		switch {
		case same >= 0:
			list[same].AreaCM2 = roundTo(list[same].AreaCM2+p.AreaCM2, 1)
			list[same].Outline = append(list[same].Outline, p.Outline...)
		case p.AreaCM2 > sliverCM2 || p.Wanted && p.AreaCM2 > 0:
			list = append(list, p)
		}
	}
	return list
}

// piece collects the unreached nodes connected to start and numbers them.
func (m *mesh) piece(start, number int32, of []int32, alive, lost, severed []bool) []int32 {
	of[start] = number
	members := []int32{start}
	for k := 0; k < len(members); k++ {
		node := members[k]
		for _, spoke := range m.star[m.from[node]:m.from[node+1]] {
			to := spoke.to
			joined := !severed[spoke.edge] || lost[node] && lost[to]
			if m.tissue[to] && !alive[to] && of[to] == 0 && lost[to] == lost[node] && joined {
				of[to] = number
				members = append(members, to)
			}
		}
	}
	return members
}

// island names a piece, measures it, and says whether a plan would want it.
func (m *mesh) island(members []int32, number int32, of []int32, appendage bool) Island {
	area, inAppendage := 0.0, 0
	touches := map[Obstacle]bool{}
	posterior := false
	for _, node := range members {
		area += m.area[node] * m.radius * m.radius / 100
		if m.inOstium[node] {
			inAppendage++
		}
		posterior = posterior || m.chamber == LeftAtrium && m.nodes[node].dot(posteriorWall.unit()) > 1-posteriorPatchRad*posteriorPatchRad/2
		for _, spoke := range m.star[m.from[node]:m.from[node+1]] {
			if o := m.within[spoke.to]; o >= 0 {
				touches[m.openings[o].Obstacle] = true
			}
		}
	}
	left := touches[LeftSuperiorVein] || touches[LeftInferiorVein]
	right := touches[RightSuperiorVein] || touches[RightInferiorVein]
	out := Island{AreaCM2: roundTo(area, 1), Name: "free-wall", Outline: m.outline(number, of)}
	switch {
	case appendage:
		out.Name, out.Wanted = "left-appendage", true
	case touches[MitralAnnulus] || m.chamber == RightAtrium: // tissue the patient needs
		for _, o := range m.openings {
			if touches[o.Obstacle] {
				out.Name = "wall-at-" + string(o.Obstacle) // the valve annulus comes first
				break
			}
		}
	case left && right || posterior && (left || right):
		out.Name, out.Wanted = "pulmonary-veins-and-posterior-wall", posterior
	case posterior:
		out.Name, out.Wanted = "posterior-wall", true
	case left:
		out.Name, out.Wanted = "left-pulmonary-veins", true
	case right:
		out.Name, out.Wanted = "right-pulmonary-veins", true
	case 2*inAppendage > len(members):
		out.Name = "left-appendage" // ringed but left in place it stands still: common practice, no source
	}
	return out
}

// outline is the closed rings round the triangles whose three nodes are all of one piece, for drawing.
func (m *mesh) outline(number int32, of []int32) [][]Vec {
	next := map[int32]int32{}
	var order []int32
	for t, corners := range m.triangles {
		if of[corners[0]] != number || of[corners[1]] != number || of[corners[2]] != number {
			continue
		}
		for k := range 3 {
			beyond := m.triangles[m.across(m.sides[t][k], int32(t))]
			if of[beyond[0]] != number || of[beyond[1]] != number || of[beyond[2]] != number {
				next[corners[k]] = corners[(k+1)%3] // where rings touch at a node the later one wins; the drawing closes either way
				order = append(order, corners[k])
			}
		}
	}
	rings := [][]Vec{}
	for _, start := range order {
		var ring []Vec
		for node := start; ; {
			to, ok := next[node]
			if !ok {
				break
			}
			ring = append(ring, m.nodes[node].round())
			delete(next, node)
			node = to
		}
		if len(ring) > 2 {
			rings = append(rings, ring)
		}
	}
	return rings
}
