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

// join carries the free ends of a line to the opening and to the lesion within reach and reports those that reach nothing. others are
// the chamber's other cuts; obstacles its openings, with the appendage's ostium once it is closed.
func join(c *cut, others []cut, obstacles []Opening, radius float64, blindStart bool) []Gap {
	if c.closed {
		return nil
	}
	asDrawn := *c
	var gaps []Gap
	for end := range 2 {
		if end == 0 && blindStart {
			continue
		}
		tip := asDrawn.path[0]
		if end == 1 {
			tip = asDrawn.path[len(asDrawn.path)-1]
		}
		opening, lesion := nearestOpening(tip, obstacles), nearestLesion(tip, others)
		if opening.angle <= 0 {
			continue // it ends inside an opening
		}
		joined := false
		for _, near := range []place{lesion, opening} {
			if near.angle*radius > joinMM {
				continue
			}
			joined = true
			target := onward(asDrawn, end, overshootMM/radius)
			if near.angle > 1e-9 {
				target = towards(tip, near.at, near.angle+overshootMM/radius)
			}
			c.extend(end, target)
		}
		// A line that met something on its way, nearer this end than the other, is joined there: what is left over is a stub, no gap.
		if !joined && asDrawn.overhang(end, others, obstacles) > asDrawn.span()/2 {
			near := opening
			if lesion.angle < opening.angle {
				near = lesion
			}
			gaps = append(gaps, Gap{Lesion: c.lesion, At: tip.round(), WidthMM: roundTo(near.angle*radius, 1), Nearest: near.what,
				from: tip, to: towards(tip, near.at, near.angle+overshootMM/radius)})
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

// nearestOpening is the opening nearest to a point; its angle is negative where the point lies inside.
func nearestOpening(tip Vec, obstacles []Opening) place {
	best := place{angle: math.Inf(1)}
	for _, hole := range obstacles {
		if distance := tip.angle(hole.Centre) - hole.reach(); distance < best.angle {
			best = place{hole.Name, hole.Centre, distance}
		}
	}
	return best
}

// nearestLesion is the place on other lesions nearest to a point.
func nearestLesion(tip Vec, others []cut) place {
	best := place{angle: math.Inf(1)}
	for _, other := range others {
		other.arcs(func(a, b Vec) {
			at := nearestOnArc(tip, a, b)
			if angle := tip.angle(at); angle < best.angle {
				best = place{"another lesion", at, angle}
			}
		})
	}
	return best
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

// span is the length of the path in radians.
func (c cut) span() float64 {
	total := 0.0
	c.arcs(func(a, b Vec) { total += a.angle(b) })
	return total
}

// overhang is how far in radians a line runs from an end until it first meets another lesion or an opening; infinite if it meets none.
func (c cut) overhang(end int, others []cut, obstacles []Opening) float64 {
	path := c.path
	if end == 1 {
		path = slices.Clone(path)
		slices.Reverse(path)
	}
	run := 0.0
	for i := 1; i < len(path); i++ {
		a, b := path[i-1], path[i]
		first := math.Inf(1)
		for _, other := range others {
			other.arcs(func(p, q Vec) {
				if cross(a, b, p, q) {
					first = math.Min(first, a.angle(crossing(a, b, p, q)))
				}
			})
		}
		for _, hole := range obstacles {
			if at := nearestOnArc(hole.Centre, a, b); at.angle(hole.Centre) < hole.reach() {
				first = math.Min(first, a.angle(at))
			}
		}
		if !math.IsInf(first, 1) {
			return run + first
		}
		run += a.angle(b)
	}
	return math.Inf(1)
}

// crossing is the point where two arcs that cross do so.
func crossing(a, b, p, q Vec) Vec {
	at := a.cross(b).cross(p.cross(q)).unit()
	if at.dot(a.plus(b)) < 0 {
		at = at.times(-1)
	}
	return at
}

func roundTo(x float64, decimals int) float64 {
	scale := math.Pow(10, float64(decimals))
	return math.Round(x*scale) / scale
}
