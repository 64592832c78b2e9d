package assessment_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"isthmus/assessment"
	"isthmus/assessment/atrium"
)

// nowhere are the findings that have no place on the map: decisions, the order of things, what is said.
var nowhere = []string{
	"scope-", "ablation-", "no-ablation-", "reason-wrong", "veins-alone-large-atrium", "step", "arrest-too-late", "left-atrium-opened-before-arrest",
	"clot-cleared-late", "lines-after-valve", "wires-too-early", "block-tested-too-early", "closure-checked-too-early", "retest-after-20-minutes",
	"monitoring-short", "anticoagulation-", "pacing-", "told-",
}

// TestPlaces: every finding of every answer in the pack that has a place on the map carries it.
func TestPlaces(t *testing.T) {
	for _, a := range answers() {
		wantPlaces(t, a.plan, gradeOn(t, coarse(), a.scenario, a.plan))
	}
}

// wantPlaces fails unless every finding says why and on whose word and, when it has a place on the map, points at it: a point on a chamber,
// a lesion and a circuit that are there.
func wantPlaces(t fataler, p assessment.Plan, g assessment.Grade) {
	for _, f := range g.Findings {
		if f.What == "" || f.Why == "" || f.Source == "" {
			t.Fatal(f.Code, "without what, why or source")
		}
		if f.Place == nil {
			if !slices.ContainsFunc(nowhere, func(prefix string) bool { return strings.HasPrefix(f.Code, prefix) }) {
				t.Fatal(g.Scenario, f.Code, "has no place:", f.What)
			}
			continue
		}
		at, chamber := f.Place.At, g.Result.LeftAtrium
		if f.Place.Chamber == atrium.RightAtrium {
			chamber = g.Result.RightAtrium
		}
		if size := math.Sqrt(at[0]*at[0] + at[1]*at[1] + at[2]*at[2]); math.Abs(size-1) > 1e-3 {
			t.Fatal(f.Code, "points at", at, "of length", size)
		}
		if l := f.Place.Lesion; l != nil && (*l < 0 || *l >= len(p.Lesions) || g.Result.Lesions[*l].Chamber != f.Place.Chamber) {
			t.Fatal(f.Code, "points at lesion", *l, "of", len(p.Lesions))
		}
		if c := f.Place.Circuit; c != nil && (*c < 0 || *c >= len(chamber.Circuits)) {
			t.Fatal(f.Code, "points at circuit", *c, "of", len(chamber.Circuits))
		}
	}
}

// TestPlaceOfHazard: a hazard points at the lesion and says where its threshold comes from.
func TestPlaceOfHazard(t *testing.T) {
	s := scenario(t, "persistent-mitral-repair")
	p := s.Expert[0].Plan
	p.Lesions = append(slices.Clone(p.Lesions), atrium.Lesion{Chamber: atrium.RightAtrium, Path: []atrium.Vec{{0.05, 0.92, 0.38}, {0.6, 0.7, -0.2}}, Energy: atrium.Cryo})
	f, ok := finding(grade(t, s, p), "near-sinus-node")
	if !ok || f.Place == nil || f.Place.Lesion == nil || *f.Place.Lesion != len(p.Lesions)-1 || !strings.Contains(f.Source, "threshold: common practice, no source") {
		t.Errorf("%v %+v", ok, f)
	}
}
