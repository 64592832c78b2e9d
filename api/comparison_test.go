package api

import (
	"slices"
	"strings"
	"testing"
	"time"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/assessment"
	"isthmus/assessment/pack"
)

// TestComparison: whoever may read a plan may read it beside the expert's; the expert's words stand in no other answer.
func TestComparison(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		scenario := pack.Scenarios()[0]
		flawed := map[string]any{"scenario": scenario.ID, "plan": scenario.Flawed[0].Plan}
		path := w.as("ines").do("POST", in("/plans"), flawed).want(201).header.Get("Location")
		before := w.state()
		for name, want := range map[string]int{"ines": 200, "kofi": 403, "mei": 403, "amara": 200, "ruth": 200, "jonas": 403} {
			w.as(name).do("GET", path+"/comparison", nil).want(want)
		}
		w.unchanged(before, "a comparison")
		var got service.Comparison
		w.as("ines").do("GET", path+"/comparison", nil).want(200).into(&got)
		about := func(d assessment.Difference) bool {
			return d.About == "Line between the cavae" && d.Yours == "not made" && d.TheirPlace != nil && d.TheirPlace.Lesion != nil
		}
		if got.Expert.Title != scenario.Expert[0].Title || got.Expert.Grade.Score <= got.Yours.Score || got.Experts != len(scenario.Expert) || got.Caution == "" ||
			got.LeftAtriumMM != scenario.Patient.LeftAtriumMM || !slices.ContainsFunc(got.Differences, about) {
			t.Errorf("comparison %+v", got)
		}
		w.as("ines").do("GET", path+"/comparison?expert=50", nil).want(422).problem()
		w.as("ines").do("GET", in("/plans/none/comparison"), nil).want(404)
		for _, other := range []string{path, in("/plans"), in("/scenarios"), in("/scenarios/" + scenarioID())} {
			if answer := w.as("ines").do("GET", other, nil).want(200); strings.Contains(string(answer.body), scenario.Expert[0].Why[:40]) {
				t.Errorf("%s holds the expert's answer", other)
			}
		}
		w.as("ines").do("POST", in("/sittings"), map[string]string{"scenario": scenarioID()}).want(201)
		w.as("ines").do("GET", path+"/comparison", nil).want(409).problem()
		w.as("amara").do("GET", path+"/comparison", nil).want(200)
	})
}

// TestComparisonPolicy: the expert's plan is graded by the policy version that graded the plan, whatever is in force since.
func TestComparisonPolicy(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		scenario := pack.Scenarios()[0]
		inForce := func(version int, from string) {
			w.as("amara").do("POST", in("/scope-policies"), map[string]any{"policy": ownPolicy(version), "in_force_from": from}).want(201)
		}
		inForce(1, "2026-06-01")
		path := w.as("ines").do("POST", in("/plans"), map[string]any{"scenario": scenario.ID, "plan": scenario.Flawed[0].Plan}).want(201).header.Get("Location")
		inForce(2, "2026-06-02")
		w.clock.advance(48 * time.Hour)
		var got service.Comparison
		delete(w.clients, "ines") // the sign-in of two days ago has ended
		w.as("ines").do("GET", path+"/comparison", nil).want(200).into(&got)
		if got.Expert.Grade.Policy != "northern" || got.Expert.Grade.PolicyVersion != 1 {
			t.Errorf("the expert's plan is graded by %s, version %d", got.Expert.Grade.Policy, got.Expert.Grade.PolicyVersion)
		}
	})
}
