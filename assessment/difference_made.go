package assessment

import (
	"fmt"
	"slices"
	"strings"

	"isthmus/assessment/atrium"
)

// lesions compares the lesions of two plans that both ablate: which are made, whether their ends are joined, and how each is delivered.
func (c *comparison) lesions() {
	matched := pairs(c.scenario.Patient, c.yours.made, c.theirs.made)
	for _, p := range matched {
		switch {
		case p.theirs == nil:
			c.missing(*p.yours, true)
		case p.yours == nil:
			c.missing(*p.theirs, false)
		default:
			c.ends(*p.yours, *p.theirs)
		}
	}
	for _, p := range matched {
		if p.yours != nil && p.theirs != nil {
			c.delivery(*p.yours, *p.theirs)
		}
	}
}

// missing enters a lesion that only one plan has.
func (c *comparison) missing(l made, isYours bool) {
	has, lacks := c.yours.result, c.theirs.result
	d := Difference{Topic: TopicLesion, About: l.title(), Yours: l.says(), Theirs: "not made"}
	d.Place, d.TheirPlace = onBoth(l.at(), nil)
	if !isYours {
		has, lacks = lacks, has
		d.Yours, d.Theirs, d.Place, d.TheirPlace = d.Theirs, d.Yours, d.TheirPlace, d.Place
	}
	d.Means = "It does the work of no named lesion: what it closes shows in what the two plans leave."
	if purpose, known := purposes[l.does]; known {
		d.Means = purpose.means(has, lacks)
	}
	c.differ(d)
}

// purpose is what a named lesion is for, read off a result and never off a name.
type purpose struct {
	reached func(atrium.Result) bool
	done    string // said when it is reached
	open    string // said when it is not
}

// means says what leaving the lesion out does, by what the two plans reach.
func (p purpose) means(has, lacks atrium.Result) string {
	switch {
	case p.reached(has) && !p.reached(lacks):
		return "Without it " + p.open + "."
	case p.reached(has):
		return "Either way " + p.done + ": without it other lines do its work."
	case p.reached(lacks):
		return capital(p.done) + " only in the plan without it: there other lines do its work."
	}
	return "Either way " + p.open + ": this line alone does not change that."
}

// purposes are those of the catalogue.
var purposes = map[atrium.LesionID]purpose{
	atrium.LeftPulmonaryVeinIsolation:  {isolates("left-superior", "left-inferior"), "both left veins are isolated", "left veins go on conducting"},
	atrium.RightPulmonaryVeinIsolation: {isolates("right-superior", "right-inferior"), "both right veins are isolated", "right veins go on conducting"},
	atrium.RoofLine:                    boxed,
	atrium.FloorLine:                   boxed,
	atrium.MitralIsthmusLine: {func(r atrium.Result) bool {
		return !leaves(r.LeftAtrium, func(c atrium.Circuit) bool { return round(c, atrium.MitralAnnulus) && !c.ThroughCoronarySinus })
	}, "no circuit goes round the mitral annulus", "a circuit round the mitral annulus stays open"},
	atrium.CoronarySinusLesion: {func(r atrium.Result) bool {
		return !leaves(r.LeftAtrium, func(c atrium.Circuit) bool { return c.ThroughCoronarySinus })
	}, "no circuit runs through the coronary sinus", "the muscle of the coronary sinus still carries a circuit"},
	atrium.LeftAppendageLine: {func(r atrium.Result) bool {
		return !slices.ContainsFunc(r.LeftAtrium.Circuits, func(c atrium.Circuit) bool { return round(c, atrium.LeftAppendageStump) })
	}, "no circuit goes round the closed appendage", "a circuit goes round the stump of the appendage"},
	atrium.IntercavalLine: {func(r atrium.Result) bool {
		return !leaves(r.RightAtrium, func(c atrium.Circuit) bool {
			return round(c, atrium.SuperiorVenaCava) && round(c, atrium.InferiorVenaCava)
		})
	}, "no circuit goes round the two cavae", "a circuit round the two cavae stays open"},
	atrium.FreeWallLine: {func(r atrium.Result) bool { return r.RightAtrium.IndependentCircuits <= 1 },
		"the right atrial free wall is divided", "the right atrial free wall keeps its width"},
	atrium.RightAppendageLine: {func(r atrium.Result) bool { return r.RightAtrium.IndependentCircuits <= 1 },
		"the right atrial free wall is divided", "the wall between the right appendage and the tricuspid annulus stays undivided"},
	atrium.CavotricuspidIsthmusLine: {func(r atrium.Result) bool {
		return !leaves(r.RightAtrium, func(c atrium.Circuit) bool { return round(c, atrium.TricuspidAnnulus) })
	}, "no circuit goes round the tricuspid annulus", "a circuit round the tricuspid annulus stays open"},
}

var boxed = purpose{func(r atrium.Result) bool { return r.PosteriorWallIsolated }, "the wall between the veins is isolated", "the wall between the veins stays connected"}

func isolates(veins ...string) func(atrium.Result) bool {
	return func(r atrium.Result) bool {
		return !slices.ContainsFunc(veins, func(v string) bool { return !slices.Contains(r.VeinsIsolated, v) })
	}
}

// leaves reports whether a circuit that counts and fits is left.
func leaves(in atrium.ChamberResult, fits func(atrium.Circuit) bool) bool {
	return slices.ContainsFunc(in.Circuits, func(c atrium.Circuit) bool { return matters(c) && fits(c) })
}

func round(c atrium.Circuit, o atrium.Obstacle) bool { return slices.Contains(c.Round, o) }

// ends compares whether a lesion's ends are joined.
func (c *comparison) ends(yours, theirs made) {
	if len(yours.open) == len(theirs.open) {
		return
	}
	says := func(l made) string {
		if len(l.open) == 0 {
			return "joined at its ends"
		}
		gap := l.open[0]
		return fmt.Sprintf("%s, %.1f mm from the nearest boundary (%s)", count(len(l.open), "open end"), gap.WidthMM, strings.ReplaceAll(gap.Nearest, "-", " "))
	}
	c.differ(ofKind("gap", Difference{
		Topic: TopicLesion, About: "Ends of the " + lower(name(yours, theirs)), Yours: says(yours), Theirs: says(theirs), Place: yours.at(), TheirPlace: theirs.at(),
	}))
}

// delivery compares how a lesion of both plans is made and tested.
func (c *comparison) delivery(yours, theirs made) {
	about := func(d Difference) Difference {
		d.Topic, d.Place, d.TheirPlace = TopicDelivery, yours.at(), theirs.at()
		return d
	}
	title := name(yours, theirs)
	d := about(Difference{About: title + ": energy", Yours: inWords(yours.lesion.Energy), Theirs: inWords(theirs.lesion.Energy)})
	c.differ(c.energy(yours, theirs, d))

	most := max(yours.lesion.Applications, theirs.lesion.Applications)
	least := min(max(1, yours.lesion.Applications), max(1, theirs.lesion.Applications))
	d = about(Difference{
		About: title + ": applications", Yours: count(max(1, yours.lesion.Applications), "application"), Theirs: count(max(1, theirs.lesion.Applications), "application"),
		Means: "More applications cost time; they are worth it where the tissue is thick.", Source: commonPractice,
	})
	if clamp := yours.lesion.Energy == atrium.BipolarRF && theirs.lesion.Energy == atrium.BipolarRF; clamp && least < 2 && most > 1 {
		d = ofKind("single-clamp-application", d)
	}
	c.differ(d)

	d = about(Difference{About: title + ": block test", Yours: inWords(tested(yours.lesion.Block)), Theirs: inWords(tested(theirs.lesion.Block))})
	switch untested := tested(yours.lesion.Block) == atrium.NotTested || tested(theirs.lesion.Block) == atrium.NotTested; {
	case untested && yours.laid.Closed && theirs.laid.Closed:
		d = ofKind("block-not-tested", d)
	case untested:
		d.Means, d.Source = "Only pacing on both sides of a line shows that it blocks.", commonPractice
	default:
		d = ofKind("block-tested-one-way", d)
	}
	c.differ(d)
}

// energy says what another energy means, by where the lesion ends.
func (c *comparison) energy(yours, theirs made, d Difference) Difference {
	either := func(energy atrium.Energy) bool {
		return yours.lesion.Energy == energy || theirs.lesion.Energy == energy
	}
	g := grading{scenario: c.scenario}
	yourAnnulus, _ := g.annulus(yours.laid)
	theirAnnulus, _ := g.annulus(theirs.laid)
	switch {
	case either(""):
		return ofKind("energy-not-named", d)
	case (yourAnnulus != "" || theirAnnulus != "") && either(atrium.Cryo) && (either(atrium.BipolarRF) || either(atrium.UnipolarRF)):
		return ofKind("annular-end-without-cryo", d)
	case either(atrium.UnipolarRF):
		d.Means = "Unipolar radiofrequency heats from one side only: moving blood takes the heat away, and what lies behind the wall can be burnt."
	case either(atrium.Incision):
		d.Means = "A cut that is sewn always blocks, but takes time on the arrested heart and can bleed."
	default:
		d.Means = "A clamp heats all that lies between its jaws; a cold probe works from one side and reaches where no clamp closes."
	}
	d.Source = fromMemory
	return d
}

// name is the title of a lesion that both plans have: that of the one with a name, the first in the catalogue if there are two.
func name(yours, theirs made) string {
	if place(theirs.does) < place(yours.does) {
		return theirs.title()
	}
	return yours.title()
}
