package competency

import (
	"fmt"
	"slices"
	"strings"

	"isthmus/assessment/atrium"
)

// isStepName reports whether a rule can name the step: a lesion of the catalogue or the appendage.
func isStepName(step string) bool {
	return step == StepAppendage || slices.ContainsFunc(atrium.Catalogue(), func(l atrium.CatalogueLesion) bool { return string(l.ID) == step })
}

// StepsOf lists the steps a record must account for: every lesion in its order (a drawn one as drawn-1, drawn-2, ...), then the left
// appendage unless it was kept.
func StepsOf(lesions []atrium.Lesion, appendage AppendageDelivered) []string {
	steps := make([]string, 0, len(lesions)+1)
	drawn := 0
	for _, lesion := range lesions {
		if lesion.Name == "" {
			drawn++
			steps = append(steps, fmt.Sprintf("drawn-%d", drawn))
			continue
		}
		steps = append(steps, string(lesion.Name))
	}
	if appendage.State != "" && appendage.State != atrium.AppendageKept {
		steps = append(steps, StepAppendage)
	}
	return steps
}

// StepCount is what one step counts for in a role.
type StepCount struct {
	Step        string    `json:"step"`
	PerformedBy Performer `json:"performed_by"`
	Key         bool      `json:"key"`    // a key step of the rule
	Counts      bool      `json:"counts"` // as performed by the trainee
}

// CountSteps says of each step what it counts for by the rule.
func CountSteps(steps []Step, rule RoleRule) []StepCount {
	counts := make([]StepCount, len(steps))
	for i, step := range steps {
		performed := step.PerformedBy == ByTrainee || rule.HelpCounts && step.PerformedBy == ByTraineeWithHelp
		counts[i] = StepCount{step.Step, step.PerformedBy, slices.Contains(rule.KeySteps, step.Step), performed}
	}
	return counts
}

// roleRuleWords ends every reason of a role: the version of the rule that gave it.
const roleRuleWords = " (role rule %d)"

// RoleOf is the trainee's role by the programme's rule, with the reason in words and the version of the rule. Primary: at least one key step was done, all that
// were done are the trainee's, and so is the rule's share of all steps. Assistant: any step with the trainee's hand in it. Else observer.
func RoleOf(steps []Step, rule RoleRule) (Role, string) {
	var own, touched, keys int
	var missing []string
	for _, step := range CountSteps(steps, rule) {
		if step.Counts {
			own++
		}
		if step.Counts || step.PerformedBy == ByTraineeWithHelp {
			touched++
		}
		if step.Key {
			keys++
			if !step.Counts {
				missing = append(missing, Words(step.Step))
			}
		}
	}
	role, why := RoleAssistant, ""
	switch {
	case touched == 0:
		role, why = RoleObserver, "the trainee performed no step"
	case keys == 0:
		why = "no key step was part of this operation"
	case len(missing) > 0:
		why = "not performed by the trainee: " + strings.Join(missing, ", ")
	case float64(own) < rule.ShareOfSteps*float64(len(steps)):
		why = fmt.Sprintf("the trainee performed %d of %d steps, fewer than the rule's %.0f %%", own, len(steps), 100*rule.ShareOfSteps)
	default:
		role, why = RolePrimary, fmt.Sprintf("the trainee performed all %d key steps that were done and %d of %d steps", keys, own, len(steps))
	}
	return role, why + fmt.Sprintf(roleRuleWords, rule.Version)
}

// RuleOfReason is the version of the rule in a reason that RoleOf gave; 0 when there is none.
func RuleOfReason(reason string) int {
	head, _, _ := strings.Cut(roleRuleWords, "%d")
	at, version := strings.LastIndex(reason, head), 0
	if at < 0 {
		return 0
	}
	if _, err := fmt.Sscanf(reason[at:], roleRuleWords, &version); err != nil {
		return 0
	}
	return version
}

// Words writes an id for people: hyphens become spaces.
func Words(id string) string { return strings.ReplaceAll(id, "-", " ") }
