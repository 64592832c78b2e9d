package atrium

import "math"

// sampleMM is how close together the points of a line are looked at where two lines are compared.
const sampleMM = 1.0

// DistanceMM is the way along a chamber's surface from a place to the nearest point of a path of directions, in mm, on a chamber of that
// diameter (0 means normal). A path of one point is that place; to a path without points the distance is infinite.
func DistanceMM(chamber Chamber, diameterMM float64, to Vec, path []Vec, closed bool) float64 {
	line := cut{path: units(path), closed: closed}
	if len(line.path) == 1 {
		line.path = append(line.path, line.path[0])
	}
	return nearestLesion(to.unit(), []cut{line}).angle * newShape(chamber, diameterMM).radius
}

// ApartMM is how far two lines lie apart on a chamber's surface, in mm: the largest distance from a point of either to the other
// (Hausdorff's), looked at every millimetre. It does not matter in which direction a line was drawn. It is infinite where one has no points.
func ApartMM(chamber Chamber, diameterMM float64, a, b []Vec) float64 {
	radius := newShape(chamber, diameterMM).radius
	if len(a) == 0 || len(b) == 0 {
		return math.Inf(1)
	}
	farthest := 0.0
	for _, pair := range [][2][]Vec{{a, b}, {b, a}} {
		for _, at := range sampled(units(pair[0]), sampleMM/radius) {
			farthest = max(farthest, DistanceMM(chamber, diameterMM, at, pair[1], false))
		}
	}
	return farthest
}

// sampled is a path with points added so that none is farther than step (radians) from the next.
func sampled(path []Vec, step float64) []Vec {
	points := []Vec{path[0]}
	cut{path: path}.arcs(func(a, b Vec) {
		n := int(math.Ceil(a.angle(b) / step))
		for k := 1; k < n; k++ {
			points = append(points, towards(a, b, a.angle(b)*float64(k)/float64(n)))
		}
		points = append(points, b)
	})
	return points
}

// units are directions at length 1.
func units(path []Vec) []Vec {
	list := make([]Vec, len(path))
	for i, p := range path {
		list[i] = p.unit()
	}
	return list
}
