package atrium

// work is the memory of one computation, reused from set to set so that the searches allocate nothing.
type work struct {
	tree  search // over nodes
	cover search // over nodes x layers
	march search // of the sinus beat

	severed, shut, shell []bool // of placed
	lost, reached, seen  []bool
	crosses              []uint64 // of tissue
	layerOf, first       []uint8  // of cover: an edge's layer; the layer in which a node was first reached, +1
	parent, holeOf       []int32  // per triangle
	came, number, depth  []int32  // per triangle
	meetings             []meeting
	queue, places, nodes []int32
}

// sized is a buffer of that many zeros, in the old one's memory where it fits.
func sized[T any](buffer []T, count int) []T {
	if cap(buffer) < count {
		return make([]T, count)
	}
	buffer = buffer[:count]
	clear(buffer)
	return buffer
}
