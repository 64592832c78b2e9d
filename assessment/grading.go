package assessment

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/assessment/strict"
)

// Caution goes with every verdict.
const Caution = atrium.Caution

// Conductor computes what a lesion set would block and what it would leave; *atrium.Model is one. Another may remember results.
type Conductor interface {
	Conduct(set atrium.LesionSet) (atrium.Result, error)
}

// grading is one plan being graded.
type grading struct {
	ledger
	scenario Scenario
	plan     Plan
	pattern  af.Derivation
	target   Target
	result   atrium.Result

	mayDecline bool   // the scenario accepts no ablation beside the policy's target
	cap        Letter // the best letter still open; empty while every letter is
	why        string // the reason for cap
}

// GradePlan grades a plan for a scenario under a policy. It is pure: the same input gives the same grade, and the order of the lesions
// makes no difference to the score. The score is 100 plus the points of the findings, exactly; the letter follows from the score and the
// cap. The error is strict.Faults when the plan is no valid plan, or the scenario or the policy is not valid.
func GradePlan(m Conductor, s Scenario, p Plan, pol Policy) (Grade, error) {
	if err := p.Validate().Err(); err != nil {
		return Grade{}, err
	}
	g := grading{ledger: ledger{policy: pol}, scenario: s, plan: p}
	var err error
	if g.pattern, err = s.Pattern(); err != nil {
		return Grade{}, err
	}
	if g.target, err = pol.Target(g.pattern.Pattern, s.Patient, s.Operation); err != nil {
		return Grade{}, strict.Faults{List: []strict.Fault{{Field: "policy.rows", Message: err.Error()}}}
	}
	g.accept(s.Alternative)
	if err := g.conduct(m); err != nil {
		return Grade{}, asFaults(err)
	}
	g.judge()
	return g.grade(), nil
}

// accept adds the scopes and the findings faculty accept on this scenario. Accepting none means that leaving the atria alone is accepted
// for any reason; it does not make lines that achieve nothing acceptable.
func (g *grading) accept(alternatives []Defensible) {
	g.target.Also = slices.Clone(g.target.Also)
	g.accepted = map[string]string{}
	for _, accepted := range alternatives {
		switch scope := atrium.Scope(accepted.Scope); {
		case accepted.Finding != "":
			g.accepted[accepted.Finding] = accepted.Why
		case scope == atrium.ScopeNone:
			g.mayDecline = true
		default:
			g.target.Also = append(g.target.Also, scope)
		}
	}
}

// judge goes through the parts.
func (g *grading) judge() {
	wanted := g.scope()
	g.completeness(wanted)
	g.safety()
	if g.plan.ablates() {
		g.delivery()
	}
	if g.scenario.asked(AskSteps) {
		g.order()
	}
	g.aftercare()
	for _, e := range g.entries {
		if letter, capped := g.policy.Caps.Findings[e.Code]; capped && !e.accepted {
			g.limit(letter, strings.TrimSuffix(e.What, "."))
		}
	}
	if i := slices.IndexFunc(g.entries, func(e entry) bool { return e.Severity == Critical }); i >= 0 {
		if critical := g.policy.Caps.Critical; g.cap == "" || critical.Rank() <= g.cap.Rank() { // the harm is the better reason of two
			g.cap, g.why = critical, "unsafe: "+g.entries[i].What
		}
	}
}

// limit lowers the best letter still open.
func (g *grading) limit(letter Letter, why string) {
	if g.cap == "" || letter.Rank() < g.cap.Rank() {
		g.cap, g.why = letter, why
	}
}

// grade puts the outcome together.
func (g *grading) grade() Grade {
	findings, scores, score := g.settle()
	letter := g.policy.letterOf(score)
	if g.cap != "" {
		letter = worse(letter, g.cap)
	}
	unsafe := slices.ContainsFunc(findings, func(f Finding) bool { return f.Severity == Critical })
	floor := g.policy.Caps.FloorWhenSafe
	if held := !unsafe && letter.Rank() < floor.Rank() && (g.cap == "" || g.cap.Rank() >= floor.Rank()); held {
		letter = floor
	} else {
		floor = ""
	}
	return Grade{
		Scenario: g.scenario.ID, ScenarioVersion: g.scenario.Version,
		Policy: g.policy.ID, PolicyVersion: g.policy.Version, Model: g.result.Model,
		Score: float64(score) / 100, Letter: letter, Cap: g.cap, CapReason: g.why, Floor: floor, Unsafe: unsafe,
		Pattern: string(g.pattern.Pattern), PatternRule: fmt.Sprintf("%s (%s)", g.pattern.Rule, g.pattern.Source),
		TargetScope: string(g.target.Scope), MinimumScope: string(g.target.Minimum),
		Parts: scores, Findings: findings, Result: g.result, Caution: Caution,
	}
}

// asFaults makes sure that an error a caller sees is strict.Faults.
func asFaults(err error) strict.Faults {
	var faults strict.Faults
	if errors.As(err, &faults) {
		return faults
	}
	return strict.Faults{List: []strict.Fault{{Message: err.Error()}}}
}
