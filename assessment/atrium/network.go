package atrium

import (
	"math"
	"slices"
	"sync"
)

// link is an edge of the whole network seen from a node: where it leads, how long it is, and which edge it is.
type link struct {
	to     int32
	edge   int32
	length float64
}

// network is both chambers and the strips as one graph: nodes of the left mesh, then of the right, then of the strips. It is the
// same for every lesion set; a set only marks edges as severed and, with the appendage, nodes as lost.
type network struct {
	left, right *mesh
	strips      []laidStrip
	from        []int32 // links of node i: links[from[i]:from[i+1]]
	links       []link
	edges       int // left, right, strips
	sinus, av   int32
	posterior   []int32 // nodes of the posterior wall
	step        float64 // shortest edge, mm, a little less so that rounding does no harm
	longest     float64 // longest edge, mm

	intact [2]sync.Once // guards the chambers without lesions, worked out when first asked for
	whole  [2]chamberLoops

	intactMarch sync.Once // guards how far the sinus beat goes to each node without lesions
	intactMM    []float64

	substrateMu sync.Mutex // guards the substrate of intact atria, by wavelength
	intactWide  map[float64][2]float64
}

// laidStrip is a strip laid between its landing nodes.
type laidStrip struct {
	strip
	nodes    []int32 // from landing to landing
	edges    []int32
	lengthMM float64
}

// joint is an edge of the network with its two ends.
type joint struct {
	a, b, edge int32
	length     float64
}

func newNetwork(left, right *mesh) *network {
	n := &network{left: left, right: right}
	offset := int32(len(left.nodes))
	total := len(left.nodes) + len(right.nodes)
	n.edges = len(left.edges) + len(right.edges)
	var joints []joint
	add := func(m *mesh, nodes, edges int32) {
		for e, ends := range m.edges {
			if m.tissue[ends[0]] && m.tissue[ends[1]] {
				joints = append(joints, joint{ends[0] + nodes, ends[1] + nodes, int32(e) + edges, m.length[e]})
			}
		}
	}
	add(left, 0, 0)
	add(right, offset, int32(len(left.edges)))
	for _, s := range strips {
		laid := laidStrip{strip: s, lengthMM: s.span(left.radius)}
		count := pieces(laid.lengthMM)
		laid.nodes = append(laid.nodes, n.landing(s.from))
		for range count - 1 {
			laid.nodes = append(laid.nodes, int32(total))
			total++
		}
		laid.nodes = append(laid.nodes, n.landing(s.to))
		for k := range count {
			joints = append(joints, joint{laid.nodes[k], laid.nodes[k+1], int32(n.edges), laid.lengthMM / float64(count)})
			laid.edges = append(laid.edges, int32(n.edges))
			n.edges++
		}
		n.strips = append(n.strips, laid)
	}
	n.join(joints, total)
	n.posterior = left.patch(posteriorWall.unit(), posteriorPatchRad)
	n.sinus, n.av = n.landing(Site{RightAtrium, SinusNode}), n.landing(Site{RightAtrium, AVNode})
	return n
}

// join lists the links of each node and takes the measure of the edges.
func (n *network) join(joints []joint, total int) {
	n.from = make([]int32, total+1)
	for _, j := range joints {
		n.from[j.a+1]++
		n.from[j.b+1]++
	}
	for i := range total {
		n.from[i+1] += n.from[i]
	}
	n.links = make([]link, len(joints)*2)
	next := slices.Clone(n.from)
	for _, j := range joints {
		n.links[next[j.a]], n.links[next[j.b]] = link{j.b, j.edge, j.length}, link{j.a, j.edge, j.length}
		next[j.a]++
		next[j.b]++
	}
	n.step = infinite
	for _, j := range joints {
		n.step, n.longest = min(n.step, j.length*0.999), max(n.longest, j.length)
	}
}

// landing is the network's node nearest to a site.
func (n *network) landing(at Site) int32 {
	if at.Chamber == LeftAtrium {
		return n.left.nearest(at.At.unit())
	}
	return int32(len(n.left.nodes)) + n.right.nearest(at.At.unit())
}

// size is the number of node slots.
func (n *network) size() int { return len(n.from) - 1 }

// site places a node on a chamber; nodes of a strip between the atria and along the annulus lie on the great circle between landings.
func (n *network) site(node int32) Site {
	switch offset := int32(len(n.left.nodes)); {
	case node < offset:
		return Site{LeftAtrium, n.left.nodes[node].round()}
	case int(node) < len(n.left.nodes)+len(n.right.nodes):
		return Site{RightAtrium, n.right.nodes[node-offset].round()}
	}
	for _, s := range n.strips {
		for k, at := range s.nodes {
			if at == node && s.from.Chamber == s.to.Chamber {
				a, b := s.from.At.unit(), s.to.At.unit()
				return Site{s.from.Chamber, towards(a, b, a.angle(b)*float64(k)/float64(len(s.nodes)-1)).round()}
			} else if at == node {
				return Site{s.from.Chamber, s.from.At.unit().round()}
			}
		}
	}
	return Site{}
}

// flood marks in reached every node reached from start over edges that are not shut.
func (n *network) flood(start int32, shut, reached []bool, queue []int32) []int32 {
	reached[start] = true
	queue = append(queue[:0], start)
	for len(queue) > 0 {
		node := queue[len(queue)-1]
		queue = queue[:len(queue)-1]
		for _, l := range n.links[n.from[node]:n.from[node+1]] {
			if !shut[l.edge] && !reached[l.to] {
				reached[l.to] = true
				queue = append(queue, l.to)
			}
		}
	}
	return queue
}

var infinite = math.Inf(1)
