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

// RoleOf is the trainee's role by the programme's rule, with the reason in words and the version of the rule. Primary: at least one key step was done, all that
// were done are the trainee's, and so is the rule's share of all steps. Assistant: any step with the trainee's hand in it. Else observer.
func RoleOf(steps []Step, rule RoleRule) (Role, string) {
	var own, touched, keys int
	var missing []string
	for _, step := range steps {
		performed := step.PerformedBy == ByTrainee || rule.HelpCounts && step.PerformedBy == ByTraineeWithHelp
		if performed {
			own++
		}
		if performed || step.PerformedBy == ByTraineeWithHelp {
			touched++
		}
		if slices.Contains(rule.KeySteps, step.Step) {
			keys++
			if !performed {
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
	return role, fmt.Sprintf("%s (role rule %d)", why, rule.Version)
}

// Words writes an id for people: hyphens become spaces.
func Words(id string) string { return strings.ReplaceAll(id, "-", " ") }
