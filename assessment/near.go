package assessment

import (
	"math"

	"isthmus/assessment/atrium"
)

// nearest is the angle, in radians, between a direction and the nearest point of a path of great-circle arcs; +Inf for an empty path.
func nearest(path []atrium.Vec, closed bool, to atrium.Vec) float64 {
	to = unit(to)
	best := math.Inf(1)
	for i := range path {
		a := unit(path[i])
		best = min(best, angle(a, to))
		next := i + 1
		if next == len(path) {
			if !closed {
				break
			}
			next = 0
		}
		best = min(best, toArc(a, unit(path[next]), to))
	}
	return best
}

// toArc is the angle from p to the great-circle arc from a to b, or +Inf when the nearest point of the circle lies outside the arc: then
// an end is nearer.
func toArc(a, b, p atrium.Vec) float64 {
	normal := cross(a, b)
	length := math.Sqrt(dot(normal, normal))
	if length < 1e-12 {
		return math.Inf(1)
	}
	if dot(cross(normal, a), p) < 0 || dot(cross(b, normal), p) < 0 {
		return math.Inf(1)
	}
	return math.Abs(math.Asin(clamp(dot(normal, p) / length)))
}

// angle between two unit vectors, in radians.
func angle(a, b atrium.Vec) float64 { return math.Acos(clamp(dot(a, b))) }

func clamp(x float64) float64 { return max(-1, min(1, x)) }

func dot(a, b atrium.Vec) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

func cross(a, b atrium.Vec) atrium.Vec {
	return atrium.Vec{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

// unit is v at length 1; a zero vector stays zero.
func unit(v atrium.Vec) atrium.Vec {
	length := math.Sqrt(dot(v, v))
	if length == 0 {
		return v
	}
	return atrium.Vec{v[0] / length, v[1] / length, v[2] / length}
}

func degrees(radians float64) float64 { return radians * 180 / math.Pi }
