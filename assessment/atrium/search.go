package atrium

// A search grows the tree of shortest paths from one node. Its arrays are reused from search to search: nothing is allocated while it
// runs. Its queue is a ring of buckets, each as wide as the shortest edge: nothing in a bucket can shorten the way to anything else in
// it, so nodes need no order within a bucket and no heap (Denardo and Fox 1979, Operations Research; from memory).
type search struct {
	at      []reach
	done    []bool   // the shortest way to the node is known
	side    []uint64 // the arcs the tree path crosses an odd number of times; kept by trees only
	settled []int32  // nodes whose shortest way is known
	buckets [][]int32
	width   float64 // mm of a bucket
	perMM   float64 // 1 / width
	current int     // bucket being emptied, counted from the start
	waiting int     // entries in all buckets; a node may have several, of which the first counts
}

// reach is how a node is reached.
type reach struct {
	distance     float64
	before, edge int32 // the node before and the edge from it; -1 at the start
}

// fit makes room for a number of nodes and sets the buckets for a network's edges.
func (s *search) fit(n *network, nodes int) {
	if len(s.at) < nodes {
		s.at, s.done, s.settled = make([]reach, nodes), make([]bool, nodes), s.settled[:0]
		for i := range s.at {
			s.at[i].distance = infinite
		}
		s.buckets, s.waiting = nil, 0
	}
	if s.width == n.step && len(s.buckets) > 0 {
		return
	}
	s.empty()
	s.width, s.perMM = n.step, 1/n.step
	count := 1
	for float64(count) < n.longest/n.step+2 {
		count *= 2
	}
	s.buckets = make([][]int32, count)
}

// empty forgets the last search, in time proportional to what it reached.
func (s *search) empty() {
	for _, node := range s.settled {
		s.at[node].distance, s.done[node] = infinite, false
	}
	for i, bucket := range s.buckets {
		if s.waiting > 0 {
			for _, node := range bucket {
				s.at[node].distance, s.done[node] = infinite, false
			}
		}
		s.buckets[i] = bucket[:0]
	}
	s.settled, s.current, s.waiting = s.settled[:0], 0, 0
}

// begin empties the search and queues its start.
func (s *search) begin(start int32) {
	s.empty()
	s.offer(start, -1, -1, 0)
}

// offer proposes a way to a node and reports whether it is shorter than the ways known.
func (s *search) offer(to, before, edge int32, distance float64) bool {
	if distance >= s.at[to].distance {
		return false
	}
	s.at[to] = reach{distance, before, edge}
	k := int(distance*s.perMM) & (len(s.buckets) - 1)
	s.buckets[k] = append(s.buckets[k], to)
	s.waiting++
	return true
}

// pop settles a node from the nearest bucket; -1 when none is left.
func (s *search) pop() int32 {
	for s.waiting > 0 {
		k := s.current & (len(s.buckets) - 1)
		last := len(s.buckets[k]) - 1
		if last < 0 {
			s.current++
			continue
		}
		node := s.buckets[k][last]
		s.buckets[k] = s.buckets[k][:last]
		s.waiting--
		if !s.done[node] {
			s.done[node] = true
			s.settled = append(s.settled, node)
			return node
		}
	}
	return -1
}

// grow runs from start over edges that are not shut until it has settled until (-1: everything) or gone farther than limit.
func (s *search) grow(n *network, start, until int32, crosses []uint64, shut []bool, limit float64) {
	if len(s.side) < len(s.at) {
		s.side = make([]uint64, len(s.at))
	}
	s.begin(start)
	s.side[start] = 0
	for node := s.pop(); node >= 0 && node != until; node = s.pop() {
		far := s.at[node].distance
		if far > limit {
			return
		}
		for _, l := range n.links[n.from[node]:n.from[node+1]] {
			if !shut[l.edge] && s.offer(l.to, node, l.edge, far+l.length) {
				s.side[l.to] = s.side[node] ^ crosses[l.edge]
			}
		}
	}
}

// trail appends the nodes from a settled node back to the start.
func (s *search) trail(nodes []int32, node int32) []int32 {
	for ; node >= 0; node = s.at[node].before {
		nodes = append(nodes, node)
	}
	return nodes
}
