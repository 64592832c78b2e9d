package atrium

import (
	"cmp"
	"slices"
)

// A drawn lesion is recognised by what it does: a ring as the named one when it goes round the same openings, a line when it joins the
// same two things and can be slid onto the standard path without crossing an opening; of several, as the nearest. What it joins may reach
// the opening over other lesions: a roof line ends on the rings round the veins. A lesion on the coronary sinus cannot be drawn, as it
// lies outside the wall.

// mostPassed is how many places on a line count as the end of a part that begins at another: it may cross a few things on its way.
const mostPassed = 8

// recogniser holds what lies on one chamber.
type recogniser struct {
	shape
	standards []standard
	obstacles []Opening
	cuts      []cut
	joins     [][2]int // things that touch: obstacles by their number, then cuts
}

// touch is where a line meets something, or ends.
type touch struct {
	thing int     // -1 for an end in tissue
	along float64 // radians from the line's beginning
	at    Vec
}

// recognise names the drawn lesions.
func (n *network) recognise(l *laid, closedOstium bool) {
	for i, m := range []*mesh{n.left, n.right} {
		drawn := func(c cut) bool { return l.drawn[c.lesion].Lesion == "" }
		if !slices.ContainsFunc(l.cuts[i], drawn) {
			continue
		}
		r := recogniser{shape: m.shape, standards: m.standard, obstacles: m.obstacles(closedOstium), cuts: l.cuts[i]}
		r.findJoins()
		for k, c := range r.cuts {
			if drawn(c) {
				l.drawn[c.lesion].Recognised = r.name(k)
			}
		}
	}
}

// name is the named lesion whose work a cut does, or empty.
func (r *recogniser) name(k int) (id LesionID) {
	c, nearest := r.cuts[k], alikeMM/newShape(r.chamber, 0).radius // radians, so that it grows with the chamber
	if c.closed {
		inside, points := r.inside(c), r.onTissue(c)
		for _, s := range r.standards {
			if s.closed && slices.Equal(inside, r.inside(s.cut)) {
				if apart := apart(points, c, s, nearest); apart < nearest {
					id, nearest = s.id, apart
				}
			}
		}
		return id
	}
	touches, group := r.touches(k), r.groups(k)
	for i, from := range touches {
		for _, to := range touches[i+1 : min(len(touches), i+1+mostPassed)] {
			span, points := c.between(from, to), []Vec(nil)
			for _, s := range r.standards {
				if s.closed || !r.joinsAs(s.named, from, to, group) {
					continue
				}
				if points == nil {
					points = r.onTissue(span)
				}
				if apart := apart(points, span, s, nearest); apart < nearest && r.slides(span, s, from, to) {
					id, nearest = s.id, apart
				}
			}
		}
	}
	return id
}

// joinsAs reports whether two places join what a named line joins, either way round.
func (r *recogniser) joinsAs(l named, from, to touch, group []int) bool {
	return r.reaches(l.anchor[0], from, group) && r.reaches(l.anchor[1], to, group) ||
		r.reaches(l.anchor[1], from, group) && r.reaches(l.anchor[0], to, group)
}

// reaches reports whether a place lies on an opening or on what is joined to it. An appendage that is kept is reached within its ostium.
func (r *recogniser) reaches(anchor Obstacle, end touch, group []int) bool {
	if anchor == "" {
		return true
	}
	for i, o := range r.obstacles {
		if o.Obstacle == anchor {
			return end.thing >= 0 && group[end.thing] == group[i]
		}
	}
	return end.at.angle(r.ostium.Centre) < r.ostium.reach()+joinMM/r.radius
}

// touches lists where a line meets other cuts and openings, its own ends included, in order along it. Where it runs along one thing, the
// places where it comes to it and leaves it are enough.
func (r *recogniser) touches(k int) []touch {
	c, run := r.cuts[k], 0.0
	met := r.joined(len(r.obstacles) + k)
	list := []touch{{-1, 0, c.path[0]}}
	for i := 1; i < len(c.path); i++ {
		a, b := c.path[i-1], c.path[i]
		for _, thing := range met {
			if thing < len(r.obstacles) {
				if hole := r.obstacles[thing]; nearestOnArc(hole.Centre, a, b).angle(hole.Centre) < hole.reach() {
					at := nearestOnArc(hole.Centre, a, b)
					list = append(list, touch{thing, run + a.angle(at), at})
				}
				continue
			}
			r.cuts[thing-len(r.obstacles)].arcs(func(p, q Vec) {
				if cross(a, b, p, q) {
					at := crossing(a, b, p, q)
					list = append(list, touch{thing, run + a.angle(at), at})
				}
			})
		}
		run += a.angle(b)
	}
	list = append(list, touch{-1, run, c.path[len(c.path)-1]})
	slices.SortStableFunc(list, func(a, b touch) int { return cmp.Compare(a.along, b.along) })
	kept := list[:0]
	for i, t := range list {
		if i > 0 && i < len(list)-1 && kept[len(kept)-1].thing == t.thing && list[i+1].thing == t.thing {
			continue
		}
		kept = append(kept, t)
	}
	return kept
}

// joined lists what touches a thing.
func (r *recogniser) joined(thing int) (list []int) {
	for _, j := range r.joins {
		if j[0] == thing {
			list = append(list, j[1])
		} else if j[1] == thing {
			list = append(list, j[0])
		}
	}
	return list
}

// findJoins lists what touches what: cuts that cross, a cut through an opening, a ring round one.
func (r *recogniser) findJoins() {
	caps := make([]Opening, len(r.cuts)) // round each cut, so that most pairs need no look
	for k, c := range r.cuts {
		caps[k] = c.cap()
	}
	for k, c := range r.cuts {
		for o, hole := range r.obstacles {
			if nearestLesion(hole.Centre, []cut{c}).angle < hole.reach() {
				r.joins = append(r.joins, [2]int{o, len(r.obstacles) + k})
			}
		}
		if c.closed {
			for _, o := range r.inside(c) {
				r.joins = append(r.joins, [2]int{o, len(r.obstacles) + k})
			}
		}
		for j, other := range r.cuts[:k] {
			if caps[j].Centre.angle(caps[k].Centre) <= caps[j].reach()+caps[k].reach() && c.crosses(other) {
				r.joins = append(r.joins, [2]int{len(r.obstacles) + j, len(r.obstacles) + k})
			}
		}
	}
}

// groups numbers what is joined, over anything but one cut.
func (r *recogniser) groups(without int) []int {
	group := make([]int, len(r.obstacles)+len(r.cuts))
	for i := range group {
		group[i] = i
	}
	for changed := true; changed; {
		changed = false
		for _, j := range r.joins {
			if least := min(group[j[0]], group[j[1]]); j[1] != len(r.obstacles)+without && group[j[0]] != group[j[1]] {
				group[j[0]], group[j[1]], changed = least, least, true
			}
		}
	}
	return group
}

// inside lists the obstacles on the side of a ring away from the valve.
func (r *recogniser) inside(ring cut) []int {
	var list []int
	for i, o := range r.obstacles[1:] {
		if ring.parts(o.Centre, r.obstacles[0].Centre) {
			list = append(list, i+1)
		}
	}
	return list
}
