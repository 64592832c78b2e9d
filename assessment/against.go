package assessment

import "isthmus/assessment/atrium"

// AgainstPolicy says where a graded plan stands to what the policy asks for its patient, in the words of Target.Against. What faculty accept
// on the scenario counts as the target. It is not-applicable where the policy asks for no ablation.
func (g Grade) AgainstPolicy() string {
	if g.TargetScope == "" || g.TargetScope == string(atrium.ScopeNone) {
		return NotApplicable
	}
	for _, f := range g.Findings {
		standing, known := standingByFinding[f.Code]
		switch {
		case !known:
		case f.Severity == Remark && standing != BeyondNeed: // on target, or accepted on the scenario
			return AtTarget
		default:
			return standing
		}
	}
	return NotApplicable
}

// standingByFinding are the findings that tell how a plan's scope stands; a grade has one of them.
var standingByFinding = map[string]string{
	"scope-on-target": AtTarget, "scope-accepted": AtTarget, "no-ablation-accepted": AtTarget, "scope-beyond-need": BeyondNeed,
	"scope-at-minimum": AtMinimum, "scope-below-minimum": BelowMinimum, "ablation-left-out": BelowMinimum,
}
