package api

import (
	"testing"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/assessment"
	"isthmus/assessment/pack"
)

// TestGrowth: a trainee's own, a supervisor's, the programme's; first tries count, repeats are rehearsal, a test stands apart.
func TestGrowth(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		first, second := pack.Scenarios()[0], pack.Scenarios()[1]
		hand := func(s assessment.Scenario, plan assessment.Plan) {
			w.as("ines").do("POST", in("/plans"), map[string]any{"scenario": s.ID, "plan": plan}).want(201)
			w.clock.advance(1e9)
		}
		hand(first, first.Flawed[0].Plan) // the right atrium left out
		hand(first, first.Expert[0].Plan)
		hand(second, second.Expert[0].Plan)
		path := in("/trainees/ines/growth")
		for name, want := range map[string]int{"ines": 200, "kofi": 403, "mei": 403, "amara": 200, "ruth": 200, "yuki": 200, "jonas": 403, "oskar": 403} {
			w.as(name).do("GET", path, nil).want(want)
		}
		w.submitted(biatrial())
		w.as("mei").do("GET", path, nil).want(200) // who supervises one of the trainee's cases
		w.as("amara").do("GET", in("/trainees/mei/growth"), nil).want(404)

		var got service.TraineeGrowth
		w.as("ines").do("GET", path, nil).want(200).into(&got)
		right := got.Omissions[0]
		if got.Attempts != 3 || got.Scenarios != 2 || got.Trainee.Name != "Ines" || got.Caution == "" || len(got.Patterns) != 4 || len(got.Omissions) != 10 {
			t.Errorf("growth %+v", got)
		}
		if right.ID != string(assessment.RightAtriumLeftOut) || right.N != 3 || right.First.N != 2 || right.First.Hits != 1 || right.Latest.Hits != 0 || right.First.Interval != nil {
			t.Errorf("omission %+v", right)
		}
		if persistent := got.Patterns[1]; persistent.N != 2 || persistent.First.N != 1 || persistent.First.Hits != 0 || persistent.Latest.Hits != 1 || len(persistent.ByAttempt) != 2 {
			t.Errorf("pattern %+v", persistent)
		}

		var sitting service.SittingView
		w.as("ines").do("POST", in("/sittings"), map[string]any{"scenario": first.ID}).want(201).into(&sitting)
		w.as("ines").do("GET", path, nil).want(200).into(&got)
		if got.Attempts != 1 {
			t.Errorf("%d attempts while a test on their scenario is open, want 1", got.Attempts)
		}
		w.as("ines").do("POST", in("/plans"), map[string]any{"scenario": first.ID, "plan": first.Expert[0].Plan, "sitting": sitting.ID}).want(201)
		w.as("ines").do("GET", path, nil).want(200).into(&got)
		if persistent := got.Patterns[1]; persistent.N != 3 || persistent.Tests.N != 1 || persistent.First.N != 1 || persistent.Latest.N != 1 || !persistent.Points[2].Test {
			t.Errorf("with a test: %+v", persistent)
		}
	})
}
