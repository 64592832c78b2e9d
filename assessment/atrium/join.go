package atrium

import (
	"math"
	"slices"
)

// joinMM is how near a line's end must come to an opening or to another lesion to be joined to it; farther is a gap.
const joinMM = 3.0

// overshootMM is how far a joined end is carried past what it joins, so that the two truly cross.
const overshootMM = 1.0

// place is where on something a point comes closest.
type place struct {
	what  string
	at    Vec
	angle float64 // radians
}

// join carries the free ends of a line to what lies within reach and reports those that reach nothing. others are the chamber's
// other cuts; obstacles its openings, with the appendage's ostium once it is closed.
func join(c *cut, others []cut, obstacles []Opening, radius float64, blindStart bool) []Gap {
	if c.closed {
		return nil
	}
	var gaps []Gap
	for end := range 2 {
		if end == 0 && blindStart {
			continue
		}
		tip := c.path[0]
		if end == 1 {
			tip = c.path[len(c.path)-1]
		}
		near, inside := closest(tip, others, obstacles)
		switch {
		case inside:
		case near.angle*radius <= joinMM:
			target := towards(tip, near.at, near.angle+overshootMM/radius)
			if near.angle < 1e-9 {
				target = onward(*c, end, overshootMM/radius)
			}
			c.extend(end, target)
		case c.crosses(others):
			// The line already joins another on its way; what is left over is a stub, not a gap.
		default:
			gaps = append(gaps, Gap{Lesion: c.lesion, At: tip.round(), WidthMM: roundTo(near.angle*radius, 1), Nearest: near.what})
		}
	}
	return gaps
}

func (c *cut) extend(end int, target Vec) {
	if end == 0 {
		c.path = append([]Vec{target}, c.path...)
	} else {
		c.path = append(slices.Clone(c.path), target)
	}
}

// onward is the point reached by carrying the line's end straight on.
func onward(c cut, end int, by float64) Vec {
	tip, before := c.path[0], c.path[1]
	if end == 1 {
		tip, before = c.path[len(c.path)-1], c.path[len(c.path)-2]
	}
	return towards(before, tip, before.angle(tip)+by)
}

// closest is what comes nearest to a point; inside says that the point lies in an opening already.
func closest(tip Vec, others []cut, obstacles []Opening) (best place, inside bool) {
	best.angle = math.Inf(1)
	for _, hole := range obstacles {
		distance := tip.angle(hole.Centre) - hole.reach()
		if distance <= 0 {
			return place{hole.Name, hole.Centre, 0}, true
		}
		if distance < best.angle {
			best = place{hole.Name, towards(tip, hole.Centre, distance), distance}
		}
	}
	for _, other := range others {
		other.arcs(func(a, b Vec) {
			at := nearestOnArc(tip, a, b)
			if angle := tip.angle(at); angle < best.angle {
				best = place{"another lesion", at, angle}
			}
		})
	}
	return best, false
}

// nearestOnArc is the point of the great-circle arc ab nearest to p.
func nearestOnArc(p, a, b Vec) Vec {
	normal := a.cross(b)
	if normal.dot(normal) < 1e-24 {
		return a
	}
	normal = normal.unit()
	foot := p.plus(normal.times(-normal.dot(p)))
	if foot.dot(foot) > 1e-24 {
		foot = foot.unit()
		if normal.dot(a.cross(foot)) >= 0 && normal.dot(foot.cross(b)) >= 0 {
			return foot
		}
	}
	if p.dot(a) >= p.dot(b) {
		return a
	}
	return b
}

// crosses reports whether the path crosses any of the others.
func (c cut) crosses(others []cut) bool {
	found := false
	c.arcs(func(a, b Vec) {
		normal := a.cross(b)
		for _, other := range others {
			other.arcs(func(p, q Vec) {
				plane := p.cross(q)
				if (normal.dot(p) >= 0) != (normal.dot(q) >= 0) && (plane.dot(a) >= 0) != (plane.dot(b) >= 0) && a.plus(b).dot(p.plus(q)) > 0 {
					found = true
				}
			})
		}
	})
	return found
}

func roundTo(x float64, decimals int) float64 {
	scale := math.Pow(10, float64(decimals))
	return math.Round(x*scale) / scale
}
