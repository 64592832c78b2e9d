package atrium

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/graph/path"
	"gonum.org/v1/gonum/graph/simple"
)

// yardstick finds the shortest loop across an arc an odd number of times with another library's search: two copies of the tissue, joined
// where an edge crosses the arc; the shortest way from a place on the arc to its copy is the shortest loop through it.
func yardstick(n *network, t *tissue, shell []bool, arc int) float64 {
	g := simple.NewWeightedUndirectedGraph(0, math.Inf(1))
	size := int64(n.size())
	for i := range n.size() {
		for _, l := range n.links[n.from[i]:n.from[i+1]] {
			if shell[l.edge] || int(l.to) < i {
				continue
			}
			crossed := int64(boolIndex(odd(t.crosses[l.edge] & t.drawn[arc].ends)))
			for copy := range int64(2) {
				from, to := simple.Node(int64(i)+copy*size), simple.Node(int64(l.to)+(copy^crossed)*size)
				g.SetWeightedEdge(g.NewWeightedEdge(from, to, l.length))
			}
		}
	}
	best := math.Inf(1)
	for _, e := range t.drawn[arc].edges {
		place := int64(t.nodes + t.mesh.edges[e-t.edges][0])
		best = min(best, path.DijkstraFrom(simple.Node(place), g).WeightTo(place+size))
	}
	return best
}

// laidOut is a set on a model, ready to search.
func laidOut(m *Model, set LesionSet) (*network, *tissue, placed, *work) {
	n, w := m.network(set), &work{}
	w.tree.fit(n, n.size())
	closed := set.LeftAppendage != "" && set.LeftAppendage != AppendageKept
	plan := n.place(set, closed, w)
	return n, n.tissue(n.left, plan, closed, w), plan, w
}

// TestShortestLoops: the shortest loop across each arc agrees with gonum's Dijkstra (gonum.org/v1/gonum/graph/path), which tries every
// place on the arc.
func TestShortestLoops(t *testing.T) {
	for _, row := range []row{table[0], table[1], table[2], table[5]} {
		n, tissue, plan, w := laidOut(coarse, row.set)
		for k, a := range tissue.drawn {
			got, want := tissue.across(n, plan.shell, w, a), yardstick(n, tissue, plan.shell, k)
			if math.Abs(got-want) > 1e-6 {
				t.Errorf("%s, arc %d: %.6f mm, gonum finds %.6f", row.name, k, got, want)
			}
		}
	}
}

// across is the length of the shortest loop across an arc, of whichever pattern.
func (t *tissue) across(n *network, shell []bool, w *work, a arc) float64 {
	shortest := infinite
	for _, l := range t.settled(n, shell, w) {
		if odd(l.pattern & a.ends) {
			shortest = min(shortest, l.length)
		}
	}
	return shortest
}

// BenchmarkYardstick is the shortest loops across the arcs of the left atrium with both vein pairs isolated: ours, of every pattern, and
// gonum's.
func BenchmarkYardstick(b *testing.B) {
	n, tissue, plan, w := laidOut(Default(), table[1].set)
	b.Run("ours", func(b *testing.B) {
		for b.Loop() {
			tissue.settled(n, plan.shell, w)
		}
	})
	b.Run("gonum", func(b *testing.B) {
		for b.Loop() {
			for arc := range tissue.drawn {
				yardstick(n, tissue, plan.shell, arc)
			}
		}
	})
}
