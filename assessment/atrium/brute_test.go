package atrium

import (
	"container/heap"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// TestCircuitsAreShortest holds the search, with all that it rules out unseen, to plain Dijkstra over every layer from every place on
// every arc: each circuit reported is the shortest of its side pattern, and each pattern shorter than any two others joined is reported.
func TestCircuitsAreShortest(t *testing.T) {
	model, w := New(6), &work{}
	sets := rapid.Custom(anySet)
	tried := 0
	for seed := range 120 {
		set := sets.Example(seed)
		n := model.network(set)
		w.tree.fit(n, n.size())
		closed := set.LeftAppendage != ""
		plan := n.place(set, closed, w)
		for _, m := range []*mesh{n.left, n.right} {
			tissue := n.tissue(m, plan, closed, w)
			if tissue.reference < 0 || len(tissue.drawn) == 0 || len(tissue.drawn) > 4 {
				continue
			}
			tried++
			want, overStrip := brute(n, tissue, plan.shell)
			told := tissue.told()
			reported := map[uint64]float64{}
			for _, l := range report(tissue.shortest(n, plan.shell, w), tissue.stripBit, told) {
				exact := overStrip
				if l.pattern&tissue.stripBit == 0 {
					exact = want[l.pattern]
					reported[l.pattern] = l.length
				}
				if math.Abs(l.length-exact) > 1e-6 || math.Abs(walk(n, l.nodes)-l.length) > 1e-6 {
					t.Errorf("set %d, %s, pattern %b: reported %.4f mm along a path of %.4f mm, the shortest is %.4f", seed, m.chamber, l.pattern, l.length, walk(n, l.nodes), exact)
				}
			}
			for pattern := range want {
				_, has := reported[uint64(pattern)]
				if must := want[pattern] < joined(want, pattern)-1e-6 || slices.Contains(told, uint64(pattern)); pattern > 0 && must != has && want[pattern] < infinite {
					t.Errorf("set %d, %s, pattern %b of %.4f mm: reported %v, want %v", seed, m.chamber, pattern, want[pattern], has, must)
				}
			}
		}
	}
	if tried < 40 {
		t.Errorf("only %d chambers had a search small enough to check", tried)
	}
}

// brute is the length of the shortest loop of each pattern in the shell, and of the shortest over the coronary sinus strip.
func brute(n *network, t *tissue, shell []bool) (length []float64, overStrip float64) {
	count := 1 << len(t.drawn)
	length = make([]float64, count)
	for p := range length {
		length[p] = infinite
	}
	var starts []int32
	for _, a := range t.drawn {
		for _, e := range a.edges {
			starts = append(starts, t.nodes+t.mesh.edges[e-t.edges][0])
		}
	}
	slices.Sort(starts)
	for _, start := range slices.Compact(starts) {
		distance := layered(n, t, shell, start)
		for p := 1; p < count; p++ {
			length[p] = min(length[p], distance[int(start)*count+p])
		}
	}
	overStrip = infinite
	if t.strip != nil {
		first, last := t.strip.nodes[0], t.strip.nodes[len(t.strip.nodes)-1]
		for _, d := range layered(n, t, shell, first)[int(last)*count : (int(last)+1)*count] {
			overStrip = min(overStrip, d+t.strip.lengthMM)
		}
	}
	return length, overStrip
}

// layered is the distance from a node in layer 0 to every node in every layer.
func layered(n *network, t *tissue, shell []bool, start int32) []float64 {
	count := 1 << len(t.drawn)
	distance := make([]float64, n.size()*count)
	for i := range distance {
		distance[i] = infinite
	}
	distance[int(start)*count] = 0
	queue := &states{{int(start) * count, 0}}
	for queue.Len() > 0 {
		s := heap.Pop(queue).(state)
		if s.distance > distance[s.at] {
			continue
		}
		node, layer := s.at/count, uint64(s.at%count)
		for _, l := range n.links[n.from[node]:n.from[node+1]] {
			if shell[l.edge] {
				continue
			}
			to := int(l.to)*count + int(layer^t.crosses[l.edge])
			if far := s.distance + l.length; far < distance[to] {
				distance[to] = far
				heap.Push(queue, state{to, far})
			}
		}
	}
	return distance
}

// walk is the length of a closed path along edges; infinite where two nodes that follow one another are not joined.
func walk(n *network, nodes []int32) float64 {
	total := 0.0
	for i, node := range nodes {
		next, step := nodes[(i+1)%len(nodes)], infinite
		for _, l := range n.links[n.from[node]:n.from[node+1]] {
			if l.to == next {
				step = min(step, l.length)
			}
		}
		total += step
	}
	return total
}

type state struct {
	at       int
	distance float64
}

type states []state

func (q states) Len() int           { return len(q) }
func (q states) Less(i, j int) bool { return q[i].distance < q[j].distance }
func (q states) Swap(i, j int)      { q[i], q[j] = q[j], q[i] }
func (q *states) Push(x any)        { *q = append(*q, x.(state)) }
func (q *states) Pop() any {
	last := (*q)[len(*q)-1]
	*q = (*q)[:len(*q)-1]
	return last
}

// joined is the length of the shortest two loops that make up a pattern.
func joined(length []float64, pattern int) float64 {
	shortest := infinite
	for part := 1; part < len(length); part++ {
		if part != pattern {
			shortest = min(shortest, length[part]+length[part^pattern])
		}
	}
	return shortest
}
