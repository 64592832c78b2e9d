package atrium

import "slices"

// laid is the geometry of a lesion set: every path as its ends were joined.
type laid struct {
	cuts    [2][]cut // left, right
	gaps    map[Chamber][]Gap
	drawn   []DrawnLesion
	onSinus bool // a lesion on the coronary sinus, outside the shell
}

// Lay is only the geometry of a lesion set: the path each lesion takes on the surface, its ends joined to what they come near, in the order
// of the set. It says nothing of what the lesions do. The error is strict.Faults for an invalid set.
func (m *Model) Lay(set LesionSet) ([]DrawnLesion, error) {
	if err := set.Validate().Err(); err != nil {
		return nil, err
	}
	return m.network(set).layAll(set, set.closesAppendage()).drawn, nil
}

// layAll lays every lesion and joins its ends.
func (n *network) layAll(set LesionSet, closedOstium bool) laid {
	l := laid{gaps: map[Chamber][]Gap{}, drawn: []DrawnLesion{}}
	blind := map[int]bool{}
	for i, lesion := range set.Lesions {
		c, chamber, outside := n.lay(i, lesion)
		l.drawn = append(l.drawn, DrawnLesion{Lesion: lesion.Name, Chamber: chamber, Path: rounded(c.path), Closed: c.closed})
		if outside {
			l.onSinus = true
			continue
		}
		known, _ := lookUp(lesion.Name)
		blind[i] = known.blind
		side := boolIndex(chamber == RightAtrium)
		l.cuts[side] = append(l.cuts[side], c)
	}
	for i, m := range []*mesh{n.left, n.right} {
		drawn, obstacles := slices.Clone(l.cuts[i]), m.obstacles(closedOstium)
		for k := range l.cuts[i] { // ends look at the lines as drawn, so that the order of lesions does not matter
			c := &l.cuts[i][k]
			others := slices.Delete(slices.Clone(drawn), k, k+1)
			l.gaps[m.chamber] = append(l.gaps[m.chamber], join(c, others, obstacles, m.radius, blind[c.lesion])...)
			l.drawn[c.lesion].Path = rounded(c.path)
		}
	}
	return l
}

// obstacles are the chamber's openings, with the appendage's ostium once it is closed.
func (s shape) obstacles(closedOstium bool) []Opening {
	if s.chamber == LeftAtrium && closedOstium {
		return append(slices.Clone(s.openings), s.ostium)
	}
	return s.openings
}

// lay gives a lesion its path on its chamber.
func (n *network) lay(index int, l Lesion) (c cut, chamber Chamber, outside bool) {
	c = cut{lesion: index, closed: l.Closed}
	if l.Name == "" {
		for _, p := range l.Path {
			c.path = append(c.path, p.unit())
		}
		return c, l.Chamber, false
	}
	known, _ := lookUp(l.Name)
	form := n.left.shape
	if known.chamber == RightAtrium {
		form = n.right.shape
	}
	c.path, c.closed = known.path(form)
	return c, known.chamber, known.outside
}

func rounded(path []Vec) []Vec {
	out := make([]Vec, len(path))
	for i, p := range path {
		out[i] = p.round()
	}
	return out
}
