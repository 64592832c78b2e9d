package atrium

import "math"

// sphere is a geodesic icosphere: the icosahedron's faces divided into frequency x frequency triangles and blown up to the unit
// sphere. It has 10 f^2 + 2 nodes, 30 f^2 edges and 20 f^2 triangles, is the same on every machine, and needs no triangulation.
type sphere struct {
	nodes     []Vec
	edges     [][2]int32
	triangles [][3]int32 // node indexes, counter-clockwise seen from outside
	sides     [][3]int32 // edge indexes; side k joins nodes k and k+1 of the triangle
	facing    [][2]int32 // the two triangles on either side of each edge
	flanks    [][2]flank // the same two as seen from the edge
	from      []int32    // star of node i: star[from[i]:from[i+1]]
	star      []spoke    // edges leaving each node
	area      []float64  // of the unit sphere belonging to each node: a third of its triangles
	patches   []patch    // the nodes by neighbourhood, so that what is far away need not be looked at
	patchRad  float64    // how far a node can be from its patch's centre, radians
}

// patch is the nodes nearest to one of a few centres.
type patch struct {
	centre Vec
	nodes  []int32
}

// spoke is one edge seen from a node.
type spoke struct{ edge, to int32 }

// flank is a triangle seen from one of its edges: the corner off the edge, and the edges from there to the ends of the edge.
type flank struct {
	corner int32
	sides  [2]int32
}

func icosahedron() ([]Vec, [][3]int) {
	g := (1 + math.Sqrt(5)) / 2
	corners := []Vec{{-1, g, 0}, {1, g, 0}, {-1, -g, 0}, {1, -g, 0}, {0, -1, g}, {0, 1, g}, {0, -1, -g}, {0, 1, -g}, {g, 0, -1}, {g, 0, 1}, {-g, 0, -1}, {-g, 0, 1}}
	faces := [][3]int{{0, 11, 5}, {0, 5, 1}, {0, 1, 7}, {0, 7, 10}, {0, 10, 11}, {1, 5, 9}, {5, 11, 4}, {11, 10, 2}, {10, 7, 6}, {7, 1, 8},
		{3, 9, 4}, {3, 4, 2}, {3, 2, 6}, {3, 6, 8}, {3, 8, 9}, {4, 9, 5}, {2, 4, 11}, {6, 2, 10}, {8, 6, 7}, {9, 8, 1}}
	for i := range corners {
		corners[i] = corners[i].unit()
	}
	return corners, faces
}

// newSphere builds the icosphere of a frequency of at least 1.
func newSphere(frequency int) *sphere {
	s := &sphere{}
	corners, faces := icosahedron()
	known := map[[6]int]int32{} // a point by its corners and weights, so that faces share their borders
	at := func(face [3]int, i, j int) int32 {
		weights := [3]int{frequency - i - j, i, j}
		key := pointKey(face, weights)
		if node, ok := known[key]; ok {
			return node
		}
		var sum Vec
		for c, w := range weights {
			sum = sum.plus(corners[face[c]].times(float64(w)))
		}
		known[key] = int32(len(s.nodes))
		s.nodes = append(s.nodes, sum.unit())
		return known[key]
	}
	for _, face := range faces {
		for i := range frequency {
			for j := range frequency - i {
				s.triangles = append(s.triangles, [3]int32{at(face, i, j), at(face, i+1, j), at(face, i, j+1)})
				if i+j < frequency-1 {
					s.triangles = append(s.triangles, [3]int32{at(face, i+1, j), at(face, i+1, j+1), at(face, i, j+1)})
				}
			}
		}
	}
	s.connect()
	s.gather(frequency)
	return s
}

// patchFrequency is that of the coarse sphere whose nodes are the patches' centres: 162 patches of some 30 nodes on the normal mesh.
const patchFrequency = 4

func (s *sphere) gather(frequency int) {
	centres := s.nodes[:1]
	s.patchRad = math.Pi
	if frequency > patchFrequency {
		centres, s.patchRad = newSphere(patchFrequency).nodes, 0
	}
	for _, c := range centres {
		s.patches = append(s.patches, patch{centre: c})
	}
	for i, node := range s.nodes {
		nearest := 0
		for k, c := range centres {
			if node.dot(c) > node.dot(centres[nearest]) {
				nearest = k
			}
		}
		s.patches[nearest].nodes = append(s.patches[nearest].nodes, int32(i))
		s.patchRad = max(s.patchRad, node.angle(centres[nearest]))
	}
}

// pointKey identifies a point of a face by the corners it rests on and its weights on them, in corner order.
func pointKey(face, weights [3]int) [6]int {
	key := [6]int{-1, -1, -1}
	for c := range 3 {
		if weights[c] == 0 {
			continue
		}
		slot := 0
		for slot < 3 && key[slot] != -1 && key[slot] < face[c] {
			slot++
		}
		copy(key[slot+1:3], key[slot:2])
		copy(key[slot+4:6], key[slot+3:5])
		key[slot], key[slot+3] = face[c], weights[c]
	}
	return key
}

// connect derives edges, stars and areas from nodes and triangles.
func (s *sphere) connect() {
	known := map[[2]int32]int32{}
	s.sides = make([][3]int32, len(s.triangles))
	s.area = make([]float64, len(s.nodes))
	degree := make([]int32, len(s.nodes)+1)
	for t, corners := range s.triangles {
		third := triangleArea(s.nodes[corners[0]], s.nodes[corners[1]], s.nodes[corners[2]]) / 3
		for k := range 3 {
			a, b := corners[k], corners[(k+1)%3]
			key := [2]int32{min(a, b), max(a, b)}
			edge, ok := known[key]
			if !ok {
				edge = int32(len(s.edges))
				known[key] = edge
				s.edges = append(s.edges, key)
				s.facing = append(s.facing, [2]int32{-1, -1})
				degree[a]++
				degree[b]++
			}
			s.sides[t][k] = edge
			s.facing[edge][boolIndex(s.facing[edge][0] >= 0)] = int32(t)
			s.area[a] += third
		}
	}
	s.flank()
	s.from = make([]int32, len(s.nodes)+1)
	for i := range s.nodes {
		s.from[i+1] = s.from[i] + degree[i]
	}
	s.star = make([]spoke, s.from[len(s.nodes)])
	next := append([]int32(nil), s.from...)
	for e, ends := range s.edges {
		a, b := ends[0], ends[1]
		s.star[next[a]], s.star[next[b]] = spoke{int32(e), b}, spoke{int32(e), a}
		next[a]++
		next[b]++
	}
}

// flank derives the flanks of each edge.
func (s *sphere) flank() {
	s.flanks = make([][2]flank, len(s.edges))
	for e, ends := range s.edges {
		for i, t := range s.facing[e] {
			for k := range 3 {
				corner := s.triangles[t][k]
				if corner == ends[0] || corner == ends[1] {
					continue
				}
				f := flank{corner, [2]int32{s.sides[t][k], s.sides[t][(k+2)%3]}} // side k joins corners k and k+1
				if s.triangles[t][(k+1)%3] != ends[0] {
					f.sides[0], f.sides[1] = f.sides[1], f.sides[0]
				}
				s.flanks[e][i] = f
			}
		}
	}
}

// triangleArea is the area of a spherical triangle on the unit sphere (the solid angle of Van Oosterom and Strackee 1983).
func triangleArea(a, b, c Vec) float64 {
	return 2 * math.Atan2(math.Abs(triple(a, b, c)), 1+a.dot(b)+b.dot(c)+c.dot(a))
}

func boolIndex(b bool) int {
	if b {
		return 1
	}
	return 0
}
