package assessment

import (
	"fmt"
	"math"
	"slices"

	"isthmus/assessment/atrium"
)

// joinMM is how near a lesion's end must come to a boundary to be joined to it, as in the conduction model.
const joinMM = 3.0

// delivery judges whether each lesion can be made as planned: energy for the place, applications of the clamp, access.
func (g *grading) delivery() {
	for i, drawn := range g.result.Lesions {
		lesion := g.plan.Lesions[i]
		name := capital(g.lesionName(i))
		place := &Place{Chamber: drawn.Chamber, Lesion: &i}
		if len(drawn.Path) > 0 {
			place.At = drawn.Path[len(drawn.Path)/2]
		}
		annulus, end := g.annulus(drawn)
		if annulus != "" && (lesion.Energy == atrium.BipolarRF || lesion.Energy == atrium.UnipolarRF) {
			g.find("annular-end-without-cryo", fmt.Sprintf("%s reaches the %s with radiofrequency.", name, annulus), &Place{Chamber: drawn.Chamber, At: end, Lesion: &i})
		}
		if lesion.Energy == "" {
			g.find("energy-not-named", name+" has no energy.", place)
		}
		if lesion.Energy == atrium.BipolarRF && lesion.Applications < 2 {
			g.find("single-clamp-application", name+" is made with a single application of the clamp.", place)
		}
		if lesion.Energy == atrium.UnipolarRF && !g.scenario.Operation.OnBypass {
			g.find("unipolar-off-pump", name+" is made with one-sided radiofrequency on the beating heart.", place)
		}
		if g.needsOpening(i) {
			g.access(i, place)
		}
	}
}

// annulus names the valve annulus an open lesion ends at, with that end; empty when it reaches none.
func (g *grading) annulus(drawn atrium.DrawnLesion) (name string, end atrium.Vec) {
	if drawn.Closed || len(drawn.Path) == 0 {
		return "", atrium.Vec{}
	}
	diameter := g.scenario.Patient.LeftAtriumMM
	if drawn.Chamber == atrium.RightAtrium {
		diameter = g.scenario.Patient.RightAtriumMM
	}
	margin := degrees(joinMM / atrium.RadiusMM(drawn.Chamber, diameter))
	for _, opening := range atrium.Openings(drawn.Chamber, diameter) {
		if opening.Obstacle != atrium.MitralAnnulus && opening.Obstacle != atrium.TricuspidAnnulus {
			continue
		}
		for _, end := range []atrium.Vec{drawn.Path[0], drawn.Path[len(drawn.Path)-1]} {
			if degrees(angle(unit(end), unit(opening.Centre))) <= opening.RadiusDeg+margin {
				return string(opening.Obstacle[:len(opening.Obstacle)-len("-annulus")]) + " annulus", end
			}
		}
	}
	return "", atrium.Vec{}
}

// access judges a lesion that needs the left atrium open where it stays closed. When the target itself takes opening it, that is no
// fault, but it is said once.
func (g *grading) access(i int, place *Place) {
	switch {
	case g.scenario.Operation.LeftAtriumOpened:
	case g.outOfReach(i):
		g.find("needs-open-atrium", fmt.Sprintf("%s needs the left atrium open, and it stays closed: it counts as not made.", capital(g.lesionName(i))), place)
	case !slices.ContainsFunc(g.entries, func(e entry) bool { return e.Code == "opens-left-atrium" }):
		g.find("opens-left-atrium", "The left atrium has to be opened for these lines.", place)
	}
}

// sideOf says on which side of the left atrium a ring lies: -1 left, 1 right, 0 round both.
func sideOf(path []atrium.Vec) int {
	if len(path) == 0 {
		return 0
	}
	x := 0.0
	for _, p := range path {
		x += unit(p)[0]
	}
	if x /= float64(len(path)); math.Abs(x) < 0.2 {
		return 0
	}
	return int(math.Copysign(1, x))
}
