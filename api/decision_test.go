package api

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"isthmus/assessment"
)

// TestDecisionChoices holds the offered steps and wires to what a plan may say: all of them, and nothing else.
func TestDecisionChoices(t *testing.T) {
	no := false
	plan := assessment.Plan{Ablate: &no, Reason: assessment.RiskTooHigh, LeftAppendage: assessment.Appendage{State: "kept"}}
	for _, choice := range stepChoices {
		if plan.Steps = append(plan.Steps, assessment.Step(choice.ID)); choice.Name == "" {
			t.Errorf("the step %s has no name", choice.ID)
		}
	}
	for _, choice := range wireChoices {
		plan.PacingWires = assessment.PacingWires(choice.ID)
		if faults := plan.Validate(); faults.Err() != nil {
			t.Errorf("a plan with every step and %s: %v", choice.ID, faults.Err())
		}
	}
	for _, step := range []assessment.Step{assessment.StepVeinIsolation, assessment.StepClosureCheck, assessment.StepPacingWires} {
		if !slices.Contains(plan.Steps, step) {
			t.Errorf("the step %s is not offered", step)
		}
	}
	plan.Steps = append(plan.Steps, "lunch")
	if err := plan.Validate().Err(); err == nil || !strings.Contains(err.Error(), fmt.Sprintf("at most %d steps", len(stepChoices))) {
		t.Errorf("%d steps are offered, and one more is refused with %v", len(stepChoices), err)
	}
}
