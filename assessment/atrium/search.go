package atrium

// A search grows the tree of shortest paths from one node. Its arrays are reused from search to search: nothing is allocated while
// it runs.
type search struct {
	distance []float64
	parent   []int32  // edge towards the start, -1 at the start
	before   []int32  // node before
	side     []uint64 // the arcs the tree path crosses an odd number of times
	settled  []int32  // nodes reached, in order of distance
	heap     []int32
	slot     []int32 // position in the heap, -1 outside
}

func newSearch(nodes int) search {
	s := search{distance: make([]float64, nodes), parent: make([]int32, nodes), before: make([]int32, nodes), side: make([]uint64, nodes), slot: make([]int32, nodes)}
	for i := range s.distance {
		s.distance[i], s.slot[i] = infinite, -1
	}
	return s
}

// grow runs Dijkstra's method from start to every node of the tissue. crosses gives each edge's arcs, closed the edges that do not
// conduct, gone the nodes outside the tissue under study.
func (s *search) grow(n *network, start int32, crosses []uint64, closed, gone []bool) {
	s.begin(start)
	for len(s.heap) > 0 {
		node := s.pop()
		far := s.distance[node]
		for _, l := range n.links[n.from[node]:n.from[node+1]] {
			if closed[l.edge] || gone[l.to] {
				continue
			}
			if s.offer(l.to, node, l.edge, far+l.length) {
				s.side[l.to] = s.side[node] ^ crosses[l.edge]
			}
		}
	}
}

// begin empties the search, in time proportional to what it reached last, and puts start on the heap.
func (s *search) begin(start int32) {
	for _, node := range s.settled {
		s.distance[node] = infinite
	}
	for _, node := range s.heap { // left over from a search that ended early
		s.distance[node], s.slot[node] = infinite, -1
	}
	s.settled, s.heap = s.settled[:0], s.heap[:0]
	s.distance[start], s.parent[start], s.before[start], s.side[start] = 0, -1, -1, 0
	s.push(start)
}

// offer proposes a way to a node and reports whether it is shorter than the ways known.
func (s *search) offer(to, before, edge int32, distance float64) bool {
	if distance >= s.distance[to] {
		return false
	}
	s.distance[to], s.parent[to], s.before[to] = distance, edge, before
	if s.slot[to] < 0 {
		s.push(to)
	} else {
		s.up(s.slot[to])
	}
	return true
}

// resize makes room for a number of nodes.
func (s *search) resize(nodes int) {
	if len(s.distance) < nodes {
		*s = newSearch(nodes)
	}
}

func (s *search) push(node int32) {
	s.slot[node] = int32(len(s.heap))
	s.heap = append(s.heap, node)
	s.up(s.slot[node])
}

func (s *search) pop() int32 {
	top := s.heap[0]
	last := len(s.heap) - 1
	s.heap[0] = s.heap[last]
	s.slot[s.heap[0]] = 0
	s.heap = s.heap[:last]
	s.slot[top] = -1
	s.settled = append(s.settled, top)
	if last > 0 {
		s.down(0)
	}
	return top
}

func (s *search) up(i int32) {
	node := s.heap[i]
	for i > 0 {
		above := (i - 1) / 4
		if s.distance[s.heap[above]] <= s.distance[node] {
			break
		}
		s.heap[i] = s.heap[above]
		s.slot[s.heap[i]] = i
		i = above
	}
	s.heap[i], s.slot[node] = node, i
}

func (s *search) down(i int32) {
	node, size := s.heap[i], int32(len(s.heap))
	for {
		least, best := i, s.distance[node]
		for below := 4*i + 1; below < min(4*i+5, size); below++ {
			if d := s.distance[s.heap[below]]; d < best {
				least, best = below, d
			}
		}
		if least == i {
			break
		}
		s.heap[i] = s.heap[least]
		s.slot[s.heap[i]] = i
		i = least
	}
	s.heap[i], s.slot[node] = node, i
}
