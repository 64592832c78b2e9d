package assessment

import (
	"slices"

	"isthmus/assessment/atrium"
)

// conduct computes what the lines do: those that can be made. One that needs the left atrium open where it stays closed is drawn, but has
// no effect.
func (g *grading) conduct(m Conductor) error {
	set := g.plan.lesionSet(g.scenario.Patient, g.policy.Wavelength)
	var err error
	if g.result, err = m.Conduct(set); err != nil {
		return err
	}
	var made []int
	for i := range g.result.Lesions {
		if !g.outOfReach(i) {
			made = append(made, i)
		}
	}
	if len(made) == len(g.result.Lesions) {
		return nil
	}
	set.Lesions = make([]atrium.Lesion, len(made))
	for k, i := range made {
		set.Lesions[k] = g.plan.Lesions[i]
	}
	rest, err := m.Conduct(set)
	if err != nil {
		return err
	}
	rest.Lesions = g.result.Lesions
	rest.LeftAtrium.Gaps = numbered(rest.LeftAtrium.Gaps, made)
	rest.RightAtrium.Gaps = numbered(rest.RightAtrium.Gaps, made)
	rest.Hazards = slices.Clone(rest.Hazards)
	for i := range rest.Hazards {
		rest.Hazards[i].Lesion = made[rest.Hazards[i].Lesion]
	}
	g.result = rest
	return nil
}

// numbered gives gaps the lesions' places in the plan. The list may be shared with other results: it is copied.
func numbered(gaps []atrium.Gap, places []int) []atrium.Gap {
	gaps = slices.Clone(gaps)
	for i := range gaps {
		gaps[i].Lesion = places[gaps[i].Lesion]
	}
	return gaps
}

// outOfReach reports whether a lesion cannot be made in this operation: it needs the left atrium open, and that stays closed. When the
// target itself takes opening it on bypass, it will be opened.
func (g *grading) outOfReach(i int) bool {
	op := g.scenario.Operation
	return g.needsOpening(i) && !op.LeftAtriumOpened && !g.opensForTarget()
}

// opensForTarget reports whether the policy's target takes opening a left atrium that the main operation leaves closed.
func (g *grading) opensForTarget() bool {
	return g.scenario.Operation.OnBypass && g.target.Scope.Rank() >= atrium.ScopeLeftAtrial.Rank()
}

// needsOpening reports whether a lesion can only be made inside an opened left atrium: the catalogue says so for named ones, and a
// drawn one must when it ends at the mitral annulus.
func (g *grading) needsOpening(i int) bool {
	lesion := g.plan.Lesions[i]
	if lesion.Name == "" {
		annulus, _ := g.annulus(g.result.Lesions[i])
		return annulus == "mitral annulus"
	}
	for _, known := range atrium.Catalogue() {
		if known.ID == lesion.Name {
			return known.Chamber == atrium.LeftAtrium && known.NeedsOpenAtrium
		}
	}
	return false
}
