package assessment

import (
	"fmt"
	"slices"

	"isthmus/assessment/atrium"
)

// scopeNames are the scopes in words.
var scopeNames = map[atrium.Scope]string{
	atrium.ScopeNone:                   "no scope",
	atrium.ScopePulmonaryVeinIsolation: "vein isolation",
	atrium.ScopeBox:                    "a closed box",
	atrium.ScopeLeftAtrial:             "a left atrial set",
	atrium.ScopeBiatrial:               "a biatrial set",
}

// scope judges the scope the lines amount to, with the evidence for and against, and returns the scope whose circuits should be closed.
func (g *grading) scope() (wanted atrium.Scope) {
	first := len(g.entries)
	switch {
	case g.target.Scope == atrium.ScopeNone:
		wanted = atrium.ScopeNone
		g.noAblationWanted()
	case !g.plan.ablates():
		wanted = g.ablationWanted()
	default:
		wanted = g.scopeReached()
	}
	g.entries[first].Evidence = g.target.Row.Evidence
	g.entries[first].Source += "; policy row " + g.target.Row.ID
	return wanted
}

// noAblationWanted judges a plan where the policy asks for none: the trap is to ablate all the same.
func (g *grading) noAblationWanted() {
	row := g.target.Row
	switch {
	case !g.plan.ablates() && slices.Contains(row.Reasons, g.plan.Reason):
		g.find("no-ablation-on-target", "No ablation: "+row.Says+".", nil)
	case !g.plan.ablates():
		g.find("reason-wrong", fmt.Sprintf("No ablation is right here, but not because of %q: %s.", g.plan.Reason, row.Says), nil)
	default:
		g.find("ablation-not-indicated", "Ablation is planned, but the policy asks for none: "+row.Says+".", nil)
		if row.CapWhenAblated == g.policy.Caps.Critical {
			g.find("ablation-unsafe", "Ablation is itself the hazard here: "+row.Says+".", nil)
		}
		if _, accepted := g.accepted["ablation-not-indicated"]; !accepted {
			g.limit(row.CapWhenAblated, "ablation where the policy asks for none: "+row.Says)
		}
	}
}

// ablationWanted judges a plan without ablation where the policy asks for it.
func (g *grading) ablationWanted() (wanted atrium.Scope) {
	row := g.target.Row
	if slices.Contains(row.MayDecline, g.plan.Reason) || g.mayDecline {
		g.find("no-ablation-accepted", "No ablation."+g.acceptedBecause(atrium.ScopeNone), nil)
		return atrium.ScopeNone
	}
	if left := g.find("ablation-left-out", fmt.Sprintf("No ablation is planned; the policy asks for %s: %s.", scopeNames[g.target.Scope], row.Says), nil); left.accepted {
		return atrium.ScopeNone
	}
	g.limit(g.policy.Caps.BelowMinimum, "no ablation where the policy asks for it")
	return g.target.least()
}

// scopeReached judges the scope of a plan that ablates. What the lines should have closed is the least that is accepted in full: who
// goes further owes no more, and who falls short is not charged for what was never asked.
func (g *grading) scopeReached() (wanted atrium.Scope) {
	row, have, target := g.target.Row, g.result.Scope, g.target.Scope
	amount := fmt.Sprintf("The lines amount to %s; the policy asks for %s (%s).", scopeNames[have], scopeNames[target], row.Says)
	switch g.target.Against(have) {
	case AtTarget:
		code := "scope-on-target"
		if have != target {
			code = "scope-accepted"
			amount += g.acceptedBecause(have)
		}
		g.find(code, amount, nil)
	case BeyondNeed:
		beyond := have.Rank() - target.Rank()
		g.findAt("scope-beyond-need", amount, nil, beyond*hundredths(g.policy.Deductions["scope-beyond-need"]))
	case AtMinimum:
		if !g.find("scope-at-minimum", amount, nil).accepted {
			g.limit(g.policy.Caps.AtMinimum, "the scope is the acceptable minimum")
		}
	default:
		g.below(amount)
	}
	g.largeAtrium()
	return g.target.least()
}

// below charges for a scope that is less than acceptable, and more for each further scope it lacks.
func (g *grading) below(amount string) {
	minimum := g.target.Minimum
	if least := g.target.least(); least.Rank() < minimum.Rank() {
		minimum = least
	}
	lacking := minimum.Rank() - g.result.Scope.Rank() - 1
	cost := hundredths(g.policy.Deductions["scope-below-minimum"]) + max(0, lacking)*hundredths(g.policy.Deductions["scope-further-below"])
	if !g.findAt("scope-below-minimum", amount+" The least that is acceptable is "+scopeNames[minimum]+".", nil, cost).accepted {
		g.limit(g.policy.Caps.BelowMinimum, "the scope is below the acceptable minimum")
	}
}

// acceptedBecause gives the scenario's reason for accepting a scope the policy does not ask for: the reason for that scope, or for the
// most it accepts below it.
func (g *grading) acceptedBecause(scope atrium.Scope) string {
	because, rank := " The policy accepts it as well.", -1
	for _, d := range g.scenario.Alternative {
		if r := atrium.Scope(d.Scope).Rank(); r > rank && r <= scope.Rank() && (r > 0 || scope == atrium.ScopeNone) {
			because, rank = " Accepted here: "+d.Why, r
		}
	}
	return because
}

// largeAtrium flags vein isolation alone in a large left atrium or with more than moderate regurgitation, whatever the target.
func (g *grading) largeAtrium() {
	patient := g.scenario.Patient
	if g.result.Scope != atrium.ScopePulmonaryVeinIsolation {
		return
	}
	if patient.LeftAtriumMM >= 45 || regurgitation(patient.MitralRegurgitation) > regurgitation("moderate") {
		g.find("veins-alone-large-atrium", fmt.Sprintf("Vein isolation alone with a left atrium of %g mm and mitral regurgitation %s.", patient.LeftAtriumMM, patient.MitralRegurgitation), nil)
	}
}

// capital makes the first letter of a sentence a capital one; rows begin with ASCII letters or not at all.
func capital(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return s
	}
	return string(s[0]-'a'+'A') + s[1:]
}
