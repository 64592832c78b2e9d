package assessment

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"isthmus/assessment/atrium"
)

// catalogue is the model's, laid once.
var catalogue = sync.OnceValue(atrium.Catalogue)

// made is one lesion of a plan as it was laid on the atria.
type made struct {
	index  int // in the plan
	lesion atrium.Lesion
	laid   atrium.DrawnLesion
	does   atrium.LesionID // the named lesion it is, or whose work it does; empty for neither
	effect string          // what it joins or encloses; empty when it does neither
	number int             // of a drawn lesion among the drawn ones, as on the map
	open   []atrium.Gap    // its ends that join nothing

	matched bool // with a lesion of the other plan
}

// lesionsMade puts together what plan and result know of each lesion.
func lesionsMade(patient Patient, p Plan, r atrium.Result) []made {
	list := make([]made, 0, len(r.Lesions))
	drawn := 0
	for i, laid := range r.Lesions {
		if i >= len(p.Lesions) {
			break
		}
		l := made{index: i, lesion: p.Lesions[i], laid: laid, does: cmp.Or(p.Lesions[i].Name, laid.Recognised)}
		if l.lesion.Name == "" {
			drawn++
			l.number = drawn
		}
		for _, gap := range slices.Concat(r.LeftAtrium.Gaps, r.RightAtrium.Gaps) {
			if gap.Lesion == i {
				l.open = append(l.open, gap)
			}
		}
		list = append(list, l)
	}
	for i := range list {
		list[i].effect = effectOf(patient, list, i)
	}
	return list
}

// title names the lesion for people.
func (l made) title() string {
	if l.does == "" {
		if l.laid.Closed {
			return "A drawn ring"
		}
		return "A drawn line"
	}
	for _, known := range catalogue() {
		if known.ID == l.does {
			return known.Name
		}
	}
	return capital(inWords(l.does))
}

// says describes the lesion in its plan.
func (l made) says() string {
	parts := []string{inWords(l.lesion.Energy), count(max(1, l.lesion.Applications), "application"), inWords(tested(l.lesion.Block))}
	if l.lesion.Energy == "" {
		parts[0] = "no energy named"
	}
	if len(l.open) > 0 {
		parts = append(parts, count(len(l.open), "open end"))
	}
	text := strings.Join(parts, ", ")
	if l.number > 0 {
		text = fmt.Sprintf("drawn %d: %s", l.number, text)
	}
	return text
}

// tested is the block test with the empty value spelt out.
func tested(b atrium.BlockTest) atrium.BlockTest { return cmp.Or(b, atrium.NotTested) }

// at points at the lesion: at an open end where it has one, else at its middle.
func (l made) at() *Place {
	place := &Place{Chamber: l.laid.Chamber, Lesion: &l.index}
	switch {
	case len(l.open) > 0:
		place.At = l.open[0].At
	case len(l.laid.Path) > 0:
		place.At = l.laid.Path[len(l.laid.Path)/2]
	}
	return place
}

// onBoth is a place on each map: what is on one map only is shown at the same place of the other.
func onBoth(yours, theirs *Place) (*Place, *Place) {
	switch {
	case yours == nil && theirs != nil:
		yours = &Place{Chamber: theirs.Chamber, At: theirs.At}
	case theirs == nil && yours != nil:
		theirs = &Place{Chamber: yours.Chamber, At: yours.At}
	}
	return yours, theirs
}

// effectOf says what a lesion joins, or which openings a ring has on its inside. It is empty for a line with an open end.
func effectOf(patient Patient, all []made, i int) string {
	laid := all[i].laid
	openings := atrium.Openings(laid.Chamber, diameterOf(patient, laid.Chamber))
	var parts []string
	if laid.Closed {
		for _, o := range openings {
			if encloses(laid.Path, o.Centre) {
				parts = append(parts, string(o.Obstacle))
			}
		}
	} else if n := len(laid.Path); n > 1 {
		for _, end := range []atrium.Vec{laid.Path[0], laid.Path[n-1]} {
			joined := joinedTo(patient, all, i, end)
			if joined == "" {
				return ""
			}
			parts = append(parts, joined)
		}
		slices.Sort(parts)
	}
	if len(parts) == 0 {
		return ""
	}
	return fmt.Sprintf("%s %t %s", laid.Chamber, laid.Closed, strings.Join(parts, " "))
}

// joinedTo names what an end of a line touches: an opening, else a lesion that itself has a name.
func joinedTo(patient Patient, all []made, i int, end atrium.Vec) string {
	chamber := all[i].laid.Chamber
	diameter := diameterOf(patient, chamber)
	margin := joinMM / atrium.RadiusMM(chamber, diameter)
	for _, o := range atrium.Openings(chamber, diameter) {
		if angle(unit(end), unit(o.Centre)) <= o.RadiusDeg*math.Pi/180+margin {
			return string(o.Obstacle)
		}
	}
	for k, other := range all {
		if k != i && other.does != "" && other.laid.Chamber == chamber && nearest(other.laid.Path, other.laid.Closed, end) <= margin {
			return string(other.does)
		}
	}
	return ""
}

func diameterOf(patient Patient, chamber atrium.Chamber) float64 {
	if chamber == atrium.RightAtrium {
		return patient.RightAtriumMM
	}
	return patient.LeftAtriumMM
}

// encloses reports whether a ring separates a direction from its opposite: going along it one then turns once round their axis.
func encloses(ring []atrium.Vec, about atrium.Vec) bool {
	axis := unit(about)
	turned := 0.0
	for i := range ring {
		a, b := unit(ring[i]), unit(ring[(i+1)%len(ring)])
		flatA, flatB := across(a, axis), across(b, axis)
		turned += math.Atan2(dot(axis, cross(flatA, flatB)), dot(flatA, flatB))
	}
	return math.Abs(turned) > math.Pi
}

// across is the part of v at right angles to a unit axis.
func across(v, axis atrium.Vec) atrium.Vec {
	along := dot(v, axis)
	return atrium.Vec{v[0] - along*axis[0], v[1] - along*axis[1], v[2] - along*axis[2]}
}
