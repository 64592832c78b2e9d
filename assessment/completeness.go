package assessment

import (
	"fmt"
	"slices"
	"strings"

	"isthmus/assessment/atrium"
)

// Goal is one thing a scope closes. Goals are read off the computed result, and a further lesion never opens one again: that is why
// adding a needed lesion cannot lower a score.
type Goal string

// The goals: each of four veins isolated, the posterior wall isolated, no circuit round the mitral annulus or through the coronary sinus
// strip, none round the appendage's stump, no circuit that counts in the right atrium, the right free wall divided.
const (
	GoalVein          Goal = "vein"
	GoalPosteriorWall Goal = "posterior-wall"
	GoalMitral        Goal = "mitral"
	GoalStump         Goal = "appendage-stump"
	GoalRightCircuit  Goal = "right-circuit"
	GoalFreeWall      Goal = "free-wall"
)

var goals = []Goal{GoalVein, GoalPosteriorWall, GoalMitral, GoalStump, GoalRightCircuit, GoalFreeWall}

// goalsOf lists what a scope should close.
func (g *grading) goalsOf(scope atrium.Scope) []Goal {
	list := goals[:0:0]
	rank := scope.Rank()
	if rank >= atrium.ScopePulmonaryVeinIsolation.Rank() {
		list = append(list, GoalVein)
	}
	if rank >= atrium.ScopeBox.Rank() {
		list = append(list, GoalPosteriorWall)
	}
	if rank >= atrium.ScopeLeftAtrial.Rank() {
		list = append(list, GoalMitral)
		if g.plan.LeftAppendage.State != atrium.AppendageKept {
			list = append(list, GoalStump)
		}
	}
	if rank >= atrium.ScopeBiatrial.Rank() {
		list = append(list, GoalRightCircuit, GoalFreeWall)
	}
	return list
}

// completeness charges for what the wanted scope should have closed and did not, then for gaps, islands and a broken way to the AV node.
func (g *grading) completeness(wanted atrium.Scope) {
	list := g.goalsOf(wanted)
	price := g.prices(list)
	openLeft, openRight := false, false
	for _, goal := range list {
		if !g.closed(goal, price[goal]) {
			right := goal == GoalRightCircuit || goal == GoalFreeWall
			openLeft, openRight = openLeft || !right, openRight || right
		}
	}
	if g.plan.ablates() {
		g.gaps(atrium.LeftAtrium, g.result.LeftAtrium.Gaps, openLeft, len(list) > 0)
		g.gaps(atrium.RightAtrium, g.result.RightAtrium.Gaps, openRight, slices.Contains(list, GoalRightCircuit))
		g.islands(atrium.LeftAtrium, g.result.LeftAtrium.Islands)
		g.islands(atrium.RightAtrium, g.result.RightAtrium.Islands)
	}
	if !g.result.SinusToAVNode {
		g.find("sinus-to-av-broken", "The lines cut the way from the sinus node to the AV node.", &Place{Chamber: atrium.RightAtrium, At: unit(atrium.SinusNode)})
	}
}

// prices shares the policy's points for closing out over the goals.
func (g *grading) prices(list []Goal) map[Goal]int {
	total := 0.0
	for _, goal := range list {
		total += g.policy.Closing.Shares[goal] * float64(copies(goal))
	}
	price := map[Goal]int{}
	for _, goal := range list {
		if total > 0 {
			price[goal] = hundredths(g.policy.Closing.Points * g.policy.Closing.Shares[goal] / total)
		}
	}
	return price
}

// copies is how often a goal counts: there are four veins.
func copies(goal Goal) int {
	if goal == GoalVein {
		return 4
	}
	return 1
}

// closed enters a finding when a goal is not reached and reports whether it is.
func (g *grading) closed(goal Goal, price int) bool {
	switch goal {
	case GoalVein:
		return g.veins(price)
	case GoalPosteriorWall:
		return g.posteriorWall(price)
	case GoalMitral:
		return g.mitral(price)
	case GoalStump:
		return g.noCircuit("appendage-stump-circuit", atrium.LeftAtrium, g.result.LeftAtrium, price, func(c atrium.Circuit) bool {
			return slices.Contains(c.Round, atrium.LeftAppendageStump)
		})
	case GoalRightCircuit:
		return g.noCircuit("tricuspid-circuit", atrium.RightAtrium, g.result.RightAtrium, price, func(c atrium.Circuit) bool {
			return matters(c) && slices.Contains(c.Round, atrium.TricuspidAnnulus)
		}) && g.noCircuit("caval-circuit", atrium.RightAtrium, g.result.RightAtrium, price, matters)
	case GoalFreeWall:
		return g.freeWall(price)
	}
	return false
}

// posteriorWall enters a finding when the wall between the veins is still connected, with the circuit that leaves.
func (g *grading) posteriorWall(price int) bool {
	if g.result.PosteriorWallIsolated {
		return true
	}
	what := "The posterior wall is still connected."
	c, at := circuitOf(g.result.LeftAtrium, onlyVeins)
	if c != nil {
		what = fmt.Sprintf("The posterior wall is still connected: a circuit of %.0f mm is left (%s).", c.LengthMM, c.Name)
	}
	place := placeOf(atrium.LeftAtrium, c, at)
	if place == nil {
		place = &Place{Chamber: atrium.LeftAtrium, At: unit(posteriorWall)}
	}
	g.findAt("posterior-wall-connected", what, place, price)
	return false
}

// mitral enters a finding for the circuit round the mitral annulus; when the line is there and only the coronary sinus strip bridges it,
// the finding says so. Circuits round veins alone belong to the posterior wall until it is isolated.
func (g *grading) mitral(price int) bool {
	left, boxed := g.result.LeftAtrium, g.result.PosteriorWallIsolated
	return g.noCircuit("perimitral-circuit", atrium.LeftAtrium, left, price, func(c atrium.Circuit) bool {
		return matters(c) && !c.ThroughCoronarySinus && (slices.Contains(c.Round, atrium.MitralAnnulus) || boxed && onlyVeins(c))
	}) && g.noCircuit("coronary-sinus-left", atrium.LeftAtrium, left, price, func(c atrium.Circuit) bool {
		return matters(c) && c.ThroughCoronarySinus
	})
}

// freeWall enters a finding when the right free wall is not divided: what a divided one leaves is the harmless loop round the coronary
// sinus ostium.
func (g *grading) freeWall(price int) bool {
	left := g.result.RightAtrium.IndependentCircuits
	if left <= 1 {
		return true
	}
	var place *Place
	if last := len(g.result.RightAtrium.Circuits) - 1; last >= 0 { // the longest; the shortest is the harmless one
		place = placeOf(atrium.RightAtrium, &g.result.RightAtrium.Circuits[last], last)
	}
	g.findAt("free-wall-uncut", fmt.Sprintf("The right atrial free wall is not divided: %d independent circuits are left in the right atrium.", left), place, price)
	return false
}

// noCircuit enters a finding for the first circuit that fits and reports whether there is none.
func (g *grading) noCircuit(code string, chamber atrium.Chamber, in atrium.ChamberResult, price int, fits func(atrium.Circuit) bool) bool {
	c, at := circuitOf(in, fits)
	if c == nil {
		return true
	}
	g.openCircuit(code, chamber, c, at, price)
	return false
}

// openCircuit enters the finding for one circuit that is left, with its length, the wavelength and the verdict together.
func (g *grading) openCircuit(code string, chamber atrium.Chamber, c *atrium.Circuit, at, price int) {
	what := fmt.Sprintf("A circuit of %.0f mm is left (%s): %s at a wavelength of %.0f mm.", c.LengthMM, c.Name, verdicts[c.Verdict], g.result.WavelengthMM)
	g.findAt(code, what, placeOf(chamber, c, at), price)
}

var verdicts = map[atrium.Verdict]string{
	atrium.Harmless: "too short to hold a wave", atrium.Possible: "possible in a remodelled atrium", atrium.CanSustain: "long enough to hold a wave",
}

// matters reports whether a circuit is long enough to count: 78 mm or more, the model's lowest verdict that is not harmless.
func matters(c atrium.Circuit) bool { return c.Verdict != atrium.Harmless }

// onlyVeins reports whether a circuit that counts goes round veins and nothing else: an open box leaves it.
func onlyVeins(c atrium.Circuit) bool {
	for _, o := range c.Round {
		if !strings.HasSuffix(string(o), "-vein") {
			return false
		}
	}
	return matters(c)
}

// circuitOf finds the first circuit, the shortest, that fits.
func circuitOf(in atrium.ChamberResult, fits func(atrium.Circuit) bool) (*atrium.Circuit, int) {
	for i := range in.Circuits {
		if fits(in.Circuits[i]) {
			return &in.Circuits[i], i
		}
	}
	return nil, -1
}

// placeOf points at a circuit.
func placeOf(chamber atrium.Chamber, c *atrium.Circuit, index int) *Place {
	if c == nil || len(c.Path) == 0 {
		return nil
	}
	return &Place{Chamber: chamber, At: c.Path[0].At, Circuit: &index}
}

// veins enters one finding for all veins that are not isolated.
func (g *grading) veins(price int) bool {
	var open []string
	var place *Place
	for _, opening := range atrium.Openings(atrium.LeftAtrium, g.scenario.Patient.LeftAtriumMM) {
		name, isVein := strings.CutSuffix(string(opening.Obstacle), "-vein")
		if !isVein || slices.Contains(g.result.VeinsIsolated, name) {
			continue
		}
		if open = append(open, strings.ReplaceAll(name, "-", " ")); place == nil {
			place = &Place{Chamber: atrium.LeftAtrium, At: opening.Centre}
		}
	}
	if len(open) == 0 {
		return true
	}
	g.findAt("vein-not-isolated", "Not isolated: "+strings.Join(open, ", ")+" pulmonary vein.", place, len(open)*price)
	return false
}
