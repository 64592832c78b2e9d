package atrium

import (
	"math/bits"
	"slices"
)

// betti is the first Betti number of a chamber's conducting tissue, its coronary sinus strip included, from the Euler characteristic:
// pieces - (V - E + F), with F the intact triangles. It knows nothing of holes or arcs, so that it can check them.
func betti(n *network, m *mesh, plan placed) int {
	in := make([]bool, n.size())
	copy(in[n.offset(m):], plan.reached[n.offset(m):int(n.offset(m))+len(m.nodes)])
	for _, s := range n.strips {
		if s.sinus && m == n.left && plan.reached[s.nodes[0]] && plan.reached[s.nodes[len(s.nodes)-1]] && !plan.severed[s.edges[0]] {
			for _, node := range s.nodes {
				in[node] = true
			}
		}
	}
	vertices, edges, faces, pieces := 0, 0, 0, 0
	own := func(l link) bool {
		isBridge := int(l.edge) >= len(n.left.edges)+len(n.right.edges) && !slices.ContainsFunc(n.strips, func(s laidStrip) bool { return s.sinus && slices.Contains(s.edges, l.edge) })
		return in[l.to] && !plan.severed[l.edge] && !isBridge
	}
	seen := make([]bool, n.size())
	for i := range in {
		if !in[i] {
			continue
		}
		vertices++
		if !seen[i] {
			pieces++
			seen[i] = true
			for queue := []int32{int32(i)}; len(queue) > 0; {
				node := queue[0]
				queue = queue[1:]
				for _, l := range n.links[n.from[node]:n.from[node+1]] {
					if own(l) && !seen[l.to] {
						seen[l.to] = true
						queue = append(queue, l.to)
					}
				}
			}
		}
		for _, l := range n.links[n.from[i]:n.from[i+1]] {
			if own(l) && l.to > int32(i) {
				edges++
			}
		}
	}
	for k, corners := range m.triangles {
		whole := true
		for c := range 3 {
			whole = whole && in[n.offset(m)+corners[c]] && !plan.severed[n.edgeOffset(m)+m.sides[k][c]]
		}
		if whole {
			faces++
		}
	}
	return pieces - (vertices - edges + faces)
}

// rank is the number of independent patterns among loops (elimination over the field of two elements).
func rank(loops []loop) int {
	var rows []uint64
	for _, l := range loops {
		p := l.pattern
		for _, row := range rows {
			p = min(p, p^row)
		}
		if p != 0 {
			rows = append(rows, p)
			slices.SortFunc(rows, func(a, b uint64) int { return bits.Len64(b) - bits.Len64(a) })
		}
	}
	return len(rows)
}
