package assessment

import (
	"fmt"
	"slices"

	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
)

// expectation is the policy's first one for the patient and the scope the lines amount to.
func (pol Policy) expectation(pattern af.Pattern, p Patient, op Operation, scope atrium.Scope) (Expectation, bool) {
	for _, e := range pol.Told.Expect {
		if slices.Contains(e.Scopes, scope) && e.When.hold(pattern, p, op) {
			return e, true
		}
	}
	return Expectation{}, false
}

// told judges what the patient is told to expect of the lines as planned. Someone who has a pacemaker is not told how likely one is.
func (g *grading) told() {
	if g.plan.Told == nil {
		g.find("told-nothing", "The patient is not told what to expect.", nil)
		return
	}
	scope := atrium.ScopeNone
	if g.plan.ablates() {
		scope = g.result.Scope
	}
	expected, ok := g.policy.expectation(g.pattern.Pattern, g.scenario.Patient, g.scenario.Operation, scope)
	if !ok {
		return
	}
	first, after := len(g.entries), " after "+scopeNames[scope]
	if !g.plan.ablates() {
		after = " without ablation"
	}
	g.interval("Sinus rhythm at 12 months"+after, g.plan.Told.SinusRhythm, expected.SinusRhythm, g.policy.Told.WidestSinusRhythm, 1)
	if !g.scenario.Patient.Pacemaker {
		g.interval("A pacemaker"+after, g.plan.Told.Pacemaker, expected.Pacemaker, g.policy.Told.WidestPacemaker, -1)
	}
	if len(g.entries) == first {
		g.find("told-fair", fmt.Sprintf("The patient is told %s for sinus rhythm at 12 months and %s for a pacemaker%s.", g.plan.Told.SinusRhythm, g.plan.Told.Pacemaker, after), nil)
	}
	for i := first; i < len(g.entries); i++ {
		g.entries[i].Evidence = expected.Evidence
	}
}

// interval judges one interval: its width, then where its middle lies. For a good thing, sign 1, more is hopeful; for a bad one, sign -1,
// less is.
func (g *grading) interval(of string, told, expected Range, widest float64, sign int) {
	what := fmt.Sprintf("%s: told %s; from published figures the policy takes %s.", of, told, expected)
	if told.High-told.Low > widest {
		g.find("told-too-wide", fmt.Sprintf("%s: told %s; more than %g points apart says nothing.", of, told, widest), nil)
		return
	}
	middle := (told.Low + told.High) / 2
	switch {
	case middle > expected.High && sign > 0, middle < expected.Low && sign < 0:
		g.find("told-too-hopeful", what, nil)
	case middle > expected.High, middle < expected.Low:
		g.find("told-too-gloomy", what, nil)
	}
}

// String is the interval in words, with its unit.
func (r Range) String() string { return fmt.Sprintf("%g to %g %%", r.Low, r.High) }

// wires judges the pacing wires left at the end. Right atrial lines and a sick sinus node ask for both; any ablation on bypass for the
// ventricle at least. Where AF is left to go on, an atrial wire has nothing to pace.
func (g *grading) wires() {
	p, ablates := g.scenario.Patient, g.plan.ablates()
	right := slices.ContainsFunc(g.result.Lesions, func(l atrium.DrawnLesion) bool { return l.Chamber == atrium.RightAtrium })
	because := "after ablation"
	switch {
	case ablates && right:
		because = "after right atrial lines"
	case ablates && p.SinusNodeDisease:
		because = "with a sick sinus node"
	}
	both := ablates && (right || p.SinusNodeDisease) && !p.Pacemaker
	switch wires := g.plan.PacingWires; {
	case wires == "":
		g.find("pacing-wires-not-said", "It is not said which pacing wires are left.", nil)
	case both && wires == WiresNone:
		g.find("pacing-wires-none", "No pacing wires are left "+because+".", nil)
	case both && wires == WiresVentricular:
		g.find("pacing-wires-few", "Only the ventricle can be paced "+because+".", nil)
	case ablates && wires == WiresNone && !p.Pacemaker && g.scenario.Operation.OnBypass:
		g.find("pacing-wires-few", "No pacing wires are left "+because+".", nil)
	case !ablates && wires == WiresBoth && g.pattern.Pattern == af.Permanent:
		g.find("pacing-wire-needless", "An atrial wire is left though the AF is left to go on.", nil)
	}
}
