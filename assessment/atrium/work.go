package atrium

// work is the memory of one computation, reused from set to set so that the searches allocate nothing.
type work struct {
	tree  search // over nodes
	cover search // over nodes x layers
	march search // of the sinus beat

	severed, shut, shell []bool // of placed
	lost, reached, seen  []bool
	crosses              []uint64 // of tissue
	hops                 []hop    // of cover: those of node i are hops[hopFrom[i]:hopFrom[i+1]]
	hopFrom              []int32
	here                 []uint64 // of cover, per node: the layers in which it was reached
	first                []int32  // of cover, per node: the layer in which it was reached first
	open                 []uint64 // per place: the patterns to be searched from it
	meets                []loop   // per pattern: the loop that the last search found
	bounds, allow        []float64
	parent, holeOf       []int32 // per triangle
	came, number, depth  []int32 // per triangle
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
