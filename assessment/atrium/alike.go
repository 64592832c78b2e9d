package atrium

import (
	"math"
	"slices"
)

// alikeMM is how far at most a drawn lesion may lie from the standard path anywhere, on a chamber of normal size (our choice: less than
// the distance between roof and floor line). A line elsewhere may block the same circuit; it is not that lesion.
const alikeMM = 15.0

// standard is a named lesion on a chamber.
type standard struct {
	named
	cut
	points []Vec // along it, on tissue
}

// standards are the named lesions that can be drawn on a chamber.
func (s shape) standards() []standard {
	var list []standard
	for _, l := range catalogue {
		if l.chamber == s.chamber && !l.outside {
			path, closed := l.path(s)
			line := cut{path: path, closed: closed}
			list = append(list, standard{l, line, s.onTissue(line)})
		}
	}
	return list
}

// slides reports whether no opening lies between a line and a standard path, but those that either ends on.
func (r *recogniser) slides(line cut, s standard, from, to touch) bool {
	back := slices.Clone(s.cut.path)
	if first := line.path[0]; first.angle(back[0]) < first.angle(back[len(back)-1]) {
		slices.Reverse(back)
	}
	between := cut{path: nudge(append(slices.Clone(line.path), back...)), closed: true}
	away := s.cut.path[len(s.cut.path)/2].times(-1) // what lies between does not reach there
	for i, o := range r.obstacles {
		if i != from.thing && i != to.thing && !slices.Contains(s.anchor[:], o.Obstacle) && between.parts(o.Centre, away) {
			return false
		}
	}
	return true
}

// onTissue is points along a line, at most 3 mm apart, without those in openings.
func (s shape) onTissue(line cut) []Vec {
	const stepMM = 3.0
	points := []Vec{}
	line.arcs(func(p, q Vec) {
		angle := p.angle(q)
		steps := max(1, int(math.Ceil(angle*s.radius/stepMM)))
		for k := range steps {
			at := q
			if angle > 1e-9 {
				at = towards(p, q, angle*(float64(k)+0.5)/float64(steps))
			}
			if nearestOpening(at, s.openings).angle > 0 {
				points = append(points, at)
			}
		}
	})
	return points
}

// apart is how far in radians a line, with its points on tissue, and a standard one lie from each other where they lie farthest; infinite
// where that is more than most.
func apart(points []Vec, line cut, s standard, most float64) float64 {
	if len(points) == 0 {
		return infinite
	}
	farthest := 0.0
	for _, side := range []struct {
		points []Vec
		line   cut
	}{{s.points, line}, {points, s.cut}} {
		for _, p := range side.points {
			if farthest = max(farthest, nearestLesion(p, []cut{side.line}).angle); farthest >= most {
				return infinite
			}
		}
	}
	return farthest
}
