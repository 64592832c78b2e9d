package assessment

import (
	"cmp"
	"slices"

	"isthmus/assessment/atrium"
)

// pair is a lesion in both plans, or in one of them.
type pair struct{ yours, theirs *made }

// pairs matches the lesions of two plans: by name, by the named lesion whose work they do, by what they join or enclose, and what is left
// by where it runs, so that a line drawn short is told as that. They come in the order of the catalogue, then in that of their places.
func pairs(patient Patient, yours, theirs []made) []pair {
	var list []pair
	match := func(i, k int) {
		list = append(list, pair{&yours[i], &theirs[k]})
		yours[i].matched, theirs[k].matched = true, true
	}
	for _, key := range []func(made) string{
		func(l made) string { return string(l.lesion.Name) }, func(l made) string { return string(l.does) }, func(l made) string { return l.effect },
	} {
		for i := range yours {
			for k := range theirs {
				if !yours[i].matched && !theirs[k].matched && key(yours[i]) != "" && key(yours[i]) == key(theirs[k]) {
					match(i, k)
				}
			}
		}
	}
	for i, k := closest(patient, yours, theirs); i >= 0; i, k = closest(patient, yours, theirs) {
		match(i, k)
	}
	for i := range yours {
		if !yours[i].matched {
			list = append(list, pair{yours: &yours[i]})
		}
	}
	for k := range theirs {
		if !theirs[k].matched {
			list = append(list, pair{theirs: &theirs[k]})
		}
	}
	slices.SortStableFunc(list, func(a, b pair) int {
		return cmp.Or(cmp.Compare(a.rank(), b.rank()), slices.Compare(a.order(), b.order()))
	})
	return list
}

// sameWayMM is how far two lesions may run apart, on average, and still count as one made in two ways. Common practice, no source.
const sameWayMM = 8.0

// closest finds the two lesions without a partner that run nearest to each other; -1 when none runs near enough.
func closest(patient Patient, yours, theirs []made) (i, k int) {
	i, k = -1, -1
	best := sameWayMM
	for a := range yours {
		for b := range theirs {
			l, other := yours[a], theirs[b]
			if l.matched || other.matched || l.laid.Chamber != other.laid.Chamber || l.laid.Closed != other.laid.Closed {
				continue
			}
			if mm := apart(l.laid, other.laid) * atrium.RadiusMM(l.laid.Chamber, diameterOf(patient, l.laid.Chamber)); mm < best {
				i, k, best = a, b, mm
			}
		}
	}
	return i, k
}

// apart is how far in radians the one lesion runs from the other, on average over its points: the nearer of the two ways to ask.
func apart(a, b atrium.DrawnLesion) float64 {
	mean := func(a, b atrium.DrawnLesion) float64 {
		sum := 0.0
		for _, p := range a.Path {
			sum += nearest(b.Path, b.Closed, p)
		}
		return sum / float64(max(1, len(a.Path)))
	}
	return min(mean(a, b), mean(b, a))
}

// rank is the pair's place in the catalogue.
func (p pair) rank() int {
	best := len(catalogue())
	for _, l := range []*made{p.yours, p.theirs} {
		if l != nil {
			best = min(best, place(l.does))
		}
	}
	return best
}

// place is where a named lesion stands in the catalogue; what is none comes after all of them.
func place(id atrium.LesionID) int {
	list := catalogue()
	if i := slices.IndexFunc(list, func(known atrium.CatalogueLesion) bool { return known.ID == id }); i >= 0 {
		return i
	}
	return len(list)
}

// order tells pairs of one rank apart in a way that does not depend on which plan is whose.
func (p pair) order() []float64 {
	var first []float64
	for _, l := range []*made{p.yours, p.theirs} {
		if l == nil {
			continue
		}
		at := l.at().At
		if own := at[:]; first == nil || slices.Compare(own, first) < 0 {
			first = own
		}
	}
	return first
}
