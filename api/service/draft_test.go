package service

import (
	"encoding/json"
	"strings"
	"testing"

	"isthmus/assessment"
	"isthmus/assessment/atrium"
)

// TestLargestPlanFits: what can be submitted can also be saved on the way.
func TestLargestPlanFits(t *testing.T) {
	yes := true
	plan := assessment.Plan{Ablate: &yes, Note: strings.Repeat("ü", maxNote), Lesions: make([]atrium.Lesion, atrium.MostLesions)}
	for i := range plan.Lesions {
		lesion := atrium.Lesion{Chamber: atrium.RightAtrium, Closed: true, Energy: atrium.BipolarRF, Applications: 20, Block: atrium.ExitBlock}
		for range atrium.MostPoints / atrium.MostLesions {
			lesion.Path = append(lesion.Path, atrium.Vec{-0.123456789012345678, -0.123456789012345678, -0.123456789012345678})
		}
		plan.Lesions[i] = lesion
	}
	data, err := json.Marshal(plan)
	if err != nil {
		t.Fatal(err)
	}
	if err := screenDraft("plan", plan); err != nil {
		t.Errorf("%d bytes: %v", len(data), err)
	}
}
