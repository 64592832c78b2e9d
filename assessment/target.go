package assessment

import (
	"fmt"
	"slices"

	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
)

// Target is what the policy asks for one patient.
type Target struct {
	Row     PolicyRow      `json:"row"`
	Scope   atrium.Scope   `json:"scope"`
	Minimum atrium.Scope   `json:"minimum,omitempty"`
	Also    []atrium.Scope `json:"also,omitempty"`
}

// Levels of mitral regurgitation, rising.
var regurgitationLevels = []string{"none", "mild", "moderate", "severe"}

// Target is the first row whose conditions the patient and the operation meet. A scenario the policy has no row for gives an error; a
// validated policy has a row for everyone.
func (pol Policy) Target(pattern af.Pattern, p Patient, op Operation) (Target, error) {
	for _, row := range pol.Rows {
		if row.When.hold(pattern, p, op) {
			return Target{Row: row, Scope: row.Target, Minimum: row.Minimum, Also: row.Also}, nil
		}
	}
	return Target{}, fmt.Errorf("policy %s version %d has no row for %s AF with this operation", pol.ID, pol.Version, pattern)
}

// hold reports whether every condition is met.
func (c Conditions) hold(pattern af.Pattern, p Patient, op Operation) bool {
	return among(c.Patterns, pattern) && among(c.Primary, op.Primary) && among(c.Urgency, op.Urgency) &&
		is(c.LeftAtriumOpened, op.LeftAtriumOpened) && is(c.TricuspidWork, op.TricuspidWork) && is(c.RedoChest, op.RedoChest) &&
		is(c.Thrombus, p.ThrombusOnImaging) && is(c.SinusNodeDisease, p.SinusNodeDisease) && is(c.Pacemaker, p.Pacemaker) &&
		(c.LeftAtriumBelowMM == 0 || p.LeftAtriumMM < c.LeftAtriumBelowMM) &&
		(c.LeftAtriumAboveMM == 0 || p.LeftAtriumMM > c.LeftAtriumAboveMM) &&
		(c.MitralRegurgitationAtMost == "" || regurgitation(p.MitralRegurgitation) <= regurgitation(c.MitralRegurgitationAtMost))
}

func among[T comparable](wanted []T, have T) bool {
	return len(wanted) == 0 || slices.Contains(wanted, have)
}

func is(wanted *bool, have bool) bool { return wanted == nil || *wanted == have }

// regurgitation orders the levels; one that is not known counts as none.
func regurgitation(level string) int { return max(0, slices.Index(regurgitationLevels, level)) }

// standing of a scope against a target.
const (
	AtTarget      = "target"
	AtMinimum     = "minimum"
	BelowMinimum  = "below"
	BeyondNeed    = "beyond"
	NotApplicable = "not-applicable"
)

// Against says where a scope stands: target (or accepted as well), minimum, below, beyond; not-applicable when no ablation is asked
// for and none was done.
func (t Target) Against(scope atrium.Scope) string {
	switch {
	case t.Scope == atrium.ScopeNone && scope == atrium.ScopeNone:
		return NotApplicable
	case scope == t.Scope, slices.Contains(t.Also, scope), scope.Rank() >= t.least().Rank() && scope.Rank() < t.Scope.Rank():
		return AtTarget
	case scope.Rank() > t.Scope.Rank():
		return BeyondNeed
	case t.Minimum != "" && scope.Rank() >= t.Minimum.Rank():
		return AtMinimum
	}
	return BelowMinimum
}

// least is the least scope that is accepted in full: the target, or less where less is accepted as well. What falls short is priced
// against it.
func (t Target) least() atrium.Scope {
	least := t.Scope
	for _, also := range t.Also {
		if also.Rank() < least.Rank() {
			least = also
		}
	}
	return least
}

// ScopeAgainstPolicy judges the scope of a real case by what a case record knows: what it does not (regurgitation, clot, sinus node) is
// taken as absent. The answer is target, minimum, below, beyond or not-applicable, the last also for an unknown pattern.
func ScopeAgainstPolicy(pol Policy, pattern af.Pattern, op Operation, laMM float64, scope atrium.Scope) string {
	target, err := pol.Target(pattern, Patient{LeftAtriumMM: laMM}, op)
	if pattern == "" || err != nil {
		return NotApplicable
	}
	return target.Against(scope)
}
